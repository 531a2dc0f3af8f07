// Keys, and what holds the parts of the page together.
import { $, make, tell } from "./page.js";
import { ask, desk, load } from "./desk.js";
import * as film from "./film.js";
import * as forms from "./forms.js";
import * as lines from "./lines.js";
import * as teach from "./teach.js";
import * as words from "./words.js";

const shown = (wordsToo) => {
  forms.keep();
  const active = document.activeElement;
  const mark = active?.id ? `#${CSS.escape(active.id)}` : active?.closest?.(".line") ? "line" : null;
  lines.show();
  if (wordsToo) { words.show(); film.refreshWords(); }
  if (mark === "line") document.querySelector(".line.is-chosen")?.focus({ preventScroll: true });
  else if (mark && document.activeElement !== active) document.querySelector(mark)?.focus({ preventScroll: true });
};
desk.shown = shown;

// After a line was settled: on to the next that needs a person, or stay.
desk.settled = (row) => {
  const next = desk.state.rows.find((r) => r.key === row.key);
  if (!row.open) { lines.choose(next ? next.key : lines.order()[0]?.key, { jump: false }); tell("Saved."); return; }
  const open = lines.order().filter((r) => r.open);
  const after = open.find((r) => (r.start ?? 0) >= (row.start ?? 0)) ?? open[0];
  if (after) lines.choose(after.key);
  else { lines.choose(next ? next.key : lines.order()[0]?.key, { jump: false }); tell("Saved. No line needs a person now."); }
};

const signOff = () => {
  const { open } = desk.state;
  $("sign-says").textContent = open
    ? `${open} ${open === 1 ? "line needs" : "lines need"} a person first: settle ${open === 1 ? "it" : "them"}, then sign.`
    : "You say that you have looked this report over beside the film. Your name, the time, and the hashes of the film, the record and the edits are kept with it. Any later change withdraws the signature." + desk.state.sign_asks.map((text) => ` To be asked first: ${text}`).join("");
  $("sign-yes").disabled = open > 0;
  $("sign-who").value ||= desk.state.signed?.who ?? desk.state.who;
  $("sign").showModal();
};
$("sign-no").addEventListener("click", () => $("sign").close());
$("sign-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (await ask("sign", { who: $("sign-who").value })) tell("Signed off.");
  $("sign").close();
});

const row = (act) => () => { const at = lines.chosen(); if (at) act(at); };
const finding = (act) => row((at) => { if (at.id) act(at); });
const DO = {
  undo: () => { if (desk.state.undo) ask("undo").then((made) => made && tell("Undone.")); },
  redo: () => { if (desk.state.redo) ask("redo").then((made) => made && tell("Done again.")); },
  add: forms.beginAdd,
  sign: signOff,
  teach: teach.open,
  help: () => $("help").showModal(),
};
const KEYS = [
  ["?", "This list", DO.help],
  ["Space", "Play or pause", film.toggle],
  ["ArrowDown", "Next line", () => lines.step(1)],
  ["ArrowUp", "Line before", () => lines.step(-1)],
  ["ArrowRight", "Two seconds on", () => film.nudge(2)],
  ["ArrowLeft", "Two seconds back", () => film.nudge(-2)],
  ["Enter", "Play from the line", row((at) => { lines.choose(at.key); film.play(); })],
  ["l", "Play the line again and again", finding((at) => film.looping(at))],
  ["c", "The line is right", row((at) => lines.confirm(at))],
  ["1 … 6", "The part that is meant, where a line has none", null],
  ["e", "Change the line", finding((at) => forms.begin("change", at))],
  ["d", "Set the line aside; then 1 to 4 for the reason", finding((at) => forms.begin("dismiss", at))],
  ["s", "Split the line in two", finding((at) => forms.begin("split", at))],
  ["j", "Join the line with another", finding((at) => forms.begin("join", at))],
  ["p", "Choose another picture", finding((at) => at.other_stills.length && forms.begin("picture", at))],
  ["n", "Part not fitted", row((at) => { if (!at.id && !at.question && at.state !== "finding") lines.notFitted(at); })],
  ["a", "Pause and add a line here", DO.add],
  ["w", "Put the words right", () => words.openAt(lines.chosen()?.start ?? film.now())],
  ["t", "Teach a word to your own lexicon", DO.teach],
  ["u", "Undo", DO.undo],
  ["r", "Redo", DO.redo],
  ["o", "Sign off", DO.sign],
  ["Esc", "Leave a form", null],
];
const NAMES = { ArrowDown: "↓", ArrowUp: "↑", ArrowRight: "→", ArrowLeft: "←" };
for (const [key, what] of KEYS) $("keys").append(make("dt", {}, make("kbd", {}, NAMES[key] ?? key)), make("dd", {}, what));

let keysOn = localStorage.getItem("single-keys") !== "off";
const keysShown = () => { $("keys-on").checked = keysOn; document.body.classList.toggle("no-keys", !keysOn); };
$("keys-on").addEventListener("change", (event) => {
  keysOn = event.target.checked;
  localStorage.setItem("single-keys", keysOn ? "on" : "off");
  keysShown();
});
keysShown();

document.addEventListener("keydown", (event) => {
  if (!desk.state || document.querySelector("dialog[open]")) return;
  if ((event.ctrlKey || event.metaKey) && !event.altKey && /^[zyZ]$/.test(event.key) && !event.target.matches("input, textarea")) {
    event.preventDefault();
    if (event.key === "y" || event.shiftKey) DO.redo(); else DO.undo();
    return;
  }
  if (event.key === "Escape" && desk.form) { event.preventDefault(); forms.close(); document.querySelector(".line.is-chosen")?.focus(); return; }
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.matches("input, textarea, select")) return;
  const name = event.key === " " ? "Space" : event.key;
  if (event.defaultPrevented || (desk.form && name !== "Space")) return;
  if ((name === "Space" || name === "Enter") && event.target.matches("button, a, summary, video")) return;
  if (event.target.matches("video") && name.startsWith("Arrow")) return;
  if (event.target.matches("#words") && name.startsWith("Arrow")) return;
  if (!keysOn && name.length === 1) return;
  const at = lines.chosen();
  if (/^[1-6]$/.test(name) && at?.offers?.[name - 1] && at.open) { event.preventDefault(); lines.place(at, at.offers[name - 1]); return; }
  const found = KEYS.find(([key, , act]) => act && key === name);
  if (found) { event.preventDefault(); found[2](); }
});

for (const element of document.querySelectorAll("[data-do]")) element.addEventListener("click", DO[element.dataset.do]);
addEventListener("focus", () => { if (desk.state) load(); });
$("films").addEventListener("change", (event) => { film.load(Number(event.target.value)); words.show(); });

await load();
if (desk.state) {
  $("films").replaceChildren(...desk.state.films.map((f, n) => make("option", { value: String(n) }, f.name ?? `Film ${n + 1}`)));
  $("choose-film").hidden = desk.state.films.length < 2;
  film.load(0);
  words.show();
  const first = lines.order()[0];
  if (first) lines.choose(first.key);
}
document.body.dataset.ready = "yes";
