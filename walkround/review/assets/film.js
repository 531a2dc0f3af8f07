// The player: jumping, and playing one line again and again.
import { $, clock } from "./page.js";
import { desk } from "./desk.js";

const film = $("film");
let source = null;
let loop = null;

const subtitle = (number) => {
  film.replaceChildren();
  const track = document.createElement("track");
  Object.assign(track, { kind: "captions", label: "As heard", srclang: "en", src: `captions/${number}` });
  film.append(track);
};

export const load = (number) => {
  if (source === number) return;
  source = number;
  const plays = desk.state.films[number]?.plays;
  film.hidden = !plays;
  $("no-film").hidden = Boolean(plays);
  if (plays) { film.src = `film/${number}`; subtitle(number); }
  $("films").value = String(number);
};

export const refreshWords = () => { if (source !== null && !film.hidden) subtitle(source); };

export const seek = (time, number = source ?? 0) => {
  load(number);
  const go = () => { film.currentTime = time; };
  if (film.readyState >= HTMLMediaElement.HAVE_METADATA) go();
  else film.addEventListener("loadedmetadata", go, { once: true });
};

export const play = () => { film.play().catch(() => {}); };
export const pause = () => film.pause();
export const toggle = () => { if (film.paused) play(); else film.pause(); };
export const nudge = (by) => { film.currentTime = Math.max(0, film.currentTime + by); };
export const now = () => film.currentTime || 0;
export const number = () => source ?? 0;

export const looping = (row) => {
  loop = row && loop?.key !== row.key ? row : null;
  $("looping").hidden = !loop;
  if (loop) { seek(loop.start, loop.source); play(); }
};
export const stopLooping = () => { loop = null; $("looping").hidden = true; };

film.addEventListener("timeupdate", () => {
  if (loop && (film.currentTime > loop.end + 0.3 || film.currentTime < loop.start - 1)) film.currentTime = loop.start;
  $("clock").textContent = clock(film.currentTime);
});
