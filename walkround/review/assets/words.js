// Every word, and putting words right: the changed run alone is sent.
import { $, button, clock, make } from "./page.js";
import { ask, desk } from "./desk.js";
import * as film from "./film.js";

const box = $("words");
let open = null; // index of the passage under correction

const texts = (segment) => segment.words.map((word) => word.t);

// What differs between two lists of words: the run of old words and the new ones, never an empty old run.
export const difference = (before, after) => {
  let head = 0;
  while (head < before.length && head < after.length && before[head] === after[head]) head += 1;
  let tail = 0;
  while (tail < before.length - head && tail < after.length - head
    && before[before.length - 1 - tail] === after[after.length - 1 - tail]) tail += 1;
  if (head === before.length && head === after.length) return null;
  if (head + tail >= before.length) { // only added: take a neighbour with it
    if (head > 0) head -= 1; else tail -= 1;
  }
  return {
    at: head,
    heard: before.slice(head, before.length - tail).join(" "),
    put: after.slice(head, after.length - tail).join(" "),
  };
};

const correct = async (segment, text) => {
  const change = difference(texts(segment), text.split(/\s+/).filter(Boolean));
  open = null;
  if (change === null) { show(); return; }
  const start = segment.words[change.at].s;
  await ask("correct", { source: film.number(), start, heard: change.heard, put: change.put });
  show();
};

const editor = (segment) => {
  const area = make("textarea", { rows: 3, "aria-label": "Words of this passage, as they were spoken" });
  area.value = texts(segment).join(" ");
  const form = make("form", {}, area, make("div", { class: "row-tools" },
    make("button", { type: "submit", class: "main" }, "Put right"),
    button("Leave", "Esc", () => { open = null; show(); })));
  const send = (event) => { event.preventDefault(); correct(segment, area.value); };
  form.addEventListener("submit", send);
  area.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !event.shiftKey) send(event);
    if (event.key === "Escape") { event.stopPropagation(); open = null; show(); }
  });
  return form;
};

const heard = (segment) => {
  const shown = make("span", {});
  segment.words.forEach((word, n) => {
    shown.append(n ? " " : "", word.p !== null && word.p < 0.5
      ? make("span", { class: "unsure", title: "heard with little certainty" }, word.t) : word.t);
  });
  return shown;
};

export const show = () => {
  const segments = desk.state.words[film.number()] ?? [];
  const top = box.scrollTop;
  box.replaceChildren(...segments.map((segment, n) => make("div", { class: "passage" },
    button(clock(segment.start), null, () => {
      film.seek(segment.start);
      open = n;
      show();
      box.querySelector("textarea")?.focus();
    }, { "aria-label": `${clock(segment.start)}: hear and put right` }),
    open === n ? editor(segment) : heard(segment))));
  box.scrollTop = top;
};

// Open the passage at a time of the film.
export const openAt = (time) => {
  const segments = desk.state.words[film.number()] ?? [];
  const at = segments.findLastIndex((segment) => segment.start <= time + 0.05);
  if (!segments.length) return;
  open = Math.max(0, at);
  show();
  box.children[open].scrollIntoView({ block: "nearest" });
  box.querySelector("textarea")?.focus();
};

$("film").addEventListener("timeupdate", () => {
  const segments = desk.state?.words[film.number()] ?? [];
  const at = segments.findLastIndex((segment) => segment.start <= film.now() + 0.05);
  const said = box.querySelector(".is-said");
  if (said === box.children[at]) return;
  said?.classList.remove("is-said");
  const passage = box.children[at];
  if (!passage) return;
  passage.classList.add("is-said");
  if (!box.contains(document.activeElement)) {
    box.scrollTop = passage.offsetTop - box.clientHeight / 3;
  }
});
