// The lists: lines that need a person first, each with its reason; then the others, those set aside, the checklist.
import { $, button, clock, make } from "./page.js";
import { ask, desk } from "./desk.js";
import * as film from "./film.js";
import * as forms from "./forms.js";

const path = (file) => file.split("/").map(encodeURIComponent).join("/");
const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// Every line and checklist item that can be chosen, in the order of the page.
export const order = () => {
  const { rows, checks } = desk.state;
  const by = (a, b) => a.source - b.source || a.start - b.start;
  return [
    ...rows.filter((row) => row.open).sort(by),
    ...checks.filter((check) => check.open),
    ...rows.filter((row) => !row.open).sort(by),
  ];
};
export const chosen = () => order().find((row) => row.key === desk.chosen) ?? null;

export const choose = (key, { jump = true, focus = true } = {}) => {
  if (desk.form && desk.form.key !== key) { forms.keep(); desk.form = null; }
  desk.chosen = key;
  desk.shown();
  const row = chosen();
  if (!row) return;
  const start = row.start ?? row.said?.[0]?.start;
  if (jump && start !== undefined) { film.stopLooping(); film.seek(start, row.source ?? row.said[0].source); }
  const item = document.querySelector(`[data-key="${CSS.escape(key)}"]`);
  if (focus) item?.focus({ preventScroll: true });
  item?.scrollIntoView({ block: "nearest" });
};

export const step = (by) => {
  const rows = order();
  const at = rows.findIndex((row) => row.key === desk.chosen);
  const next = rows[Math.min(rows.length - 1, Math.max(0, at + by))];
  if (next) choose(next.key);
};

export const place = (row, offer) => ask("change", { row: row.id, fields: { part: offer.part, side: offer.side } }).then((made) => {
  if (made) desk.settled(row);
});
export const confirm = (row) => {
  const asked = row.question ? { question: row.question } : row.part !== undefined && row.id === undefined ? { part: row.part, side: row.side } : { row: row.id };
  return ask("confirm", asked).then((made) => { if (made) desk.settled(row); });
};
export const notFitted = (check) => ask("not-fitted", { part: check.part, side: check.side }).then((made) => {
  if (made && check.open) desk.settled(check);
});

const tools = (row) => make("div", { class: "row-tools", role: "group", "aria-label": `What to do with: ${row.name}` },
  button(row.part === null ? "Leave the part unknown" : "It is right", "c", () => confirm(row), { class: row.open && row.part ? "main" : null }),
  button("Change", "e", () => forms.begin("change", row)),
  button("Set aside", "d", () => forms.begin("dismiss", row)),
  button("Split", "s", () => forms.begin("split", row)),
  button("Join", "j", () => forms.begin("join", row)),
  row.other_stills.length ? button("Picture", "p", () => forms.begin("picture", row)) : null,
  button("Play again and again", "l", () => film.looping(row)));

const jump = (row, key) => button(clock(row.start), null, () => { choose(key); film.play(); },
  { class: "jump", "aria-label": `Play from ${clock(row.start)}: ${row.name}` });

const line = (row) => {
  const here = row.key === desk.chosen;
  const body = make("div", {},
    make("h3", {}, row.name, " ",
      row.how_bad ? make("span", { class: `tag ${row.severity}` }, sentence(row.how_bad)) : null,
      row.tentative ? make("span", { class: "tag" }, "The narrator is unsure") : null),
    make("p", { class: "said", dir: "auto" }, row.quote),
    row.heard_as ? make("p", { class: "quiet" }, `Heard as “${row.heard_as}”.`) : null,
    row.review ? make("p", { class: "why" }, make("strong", {}, "Needs a person: "), row.review) : null,
    row.settled ? make("p", { class: "quiet" }, row.settled) : null);
  if (here && row.still) body.append(make("img", { class: "still", src: path(row.still), alt: `Picture from the film: ${row.name}` }));
  if (row.offers.length && row.open) {
    body.append(make("div", { class: "row-tools", role: "group", "aria-label": "Which part is meant?" }, make("span", {}, "Which part?"),
      ...row.offers.map((offer, n) => button(offer.name, here ? String(n + 1) : null, () => place(row, offer)))));
  }
  if (here) body.append(desk.form?.key === row.key ? forms.build(row) : tools(row));
  return item(row, here, jump(row, row.key), body);
};

const item = (row, here, ...children) => {
  const made = make("li", { class: here ? "line is-chosen" : "line", tabindex: "-1", "data-key": row.key,
    "aria-current": here ? "true" : null }, ...children);
  made.addEventListener("click", (event) => {
    if (!event.target.closest("button, a, form, input, select, textarea") && desk.chosen !== row.key) choose(row.key);
  });
  return made;
};

const check = (row) => {
  const here = row.key === desk.chosen;
  const said = row.said[0];
  const body = make("div", {}, make("h3", {}, `${row.question ? "Films do not agree" : "Checklist"}: ${row.name}`),
    ...row.said.map((s) => make("p", { class: "said", dir: "auto" }, s.quote)),
    make("p", { class: "why" }, make("strong", {}, "Needs a person: "), row.review));
  if (here) {
    body.append(make("div", { class: "row-tools" }, button("Looked at it", "c", () => confirm(row), { class: "main" }),
      row.state === "finding" || row.question ? null : button("Not fitted", "n", () => notFitted(row))));
  }
  return item(row, here, said ? jump({ ...said, name: row.name }, row.key) : make("span", {}), body);
};

const aside = (row) => make("li", { class: "line" },
  button(clock(row.start), null, () => { film.seek(row.start, row.source); film.play(); },
    { class: "jump", "aria-label": `Play from ${clock(row.start)}: ${row.name}` }),
  make("div", {}, make("h3", {}, row.name), make("p", { class: "said", dir: "auto" }, row.quote),
    make("p", { class: "quiet" }, `Set aside by ${row.who}: ${row.reason}`),
    row.entry ? make("p", { class: "row-tools" }, button("Bring it back", null, () => ask("undo", { entry: row.entry }))) : null));

const told = (said, name) => button(clock(said.start), null, () => { film.stopLooping(); film.seek(said.start, said.source); film.play(); },
  { class: "jump", "aria-label": `Play from ${clock(said.start)}: ${name}` });

const sound = (row) => make("li", { class: "line" }, row.said.length ? told(row.said[0], row.name) : make("span", {}),
  make("div", {}, make("h3", {}, row.name), ...row.said.map((s) => make("p", { class: "said", dir: "auto" }, s.quote))));

const promise = (row) => make("li", { class: "line" }, told(row, "Work promised"),
  make("div", {}, make("p", { class: "said", dir: "auto" }, row.quote)));

const missing = (row) => make("li", {}, make("span", {}, row.name),
  row.not_fitted ? make("span", { class: "quiet" }, "not fitted")
    : button("Not fitted", null, () => notFitted(row), { "aria-label": `${row.name}: not fitted` }));

const standing = () => {
  const { open, signed } = desk.state;
  const left = open ? `${open} ${open === 1 ? "line needs" : "lines need"} a person.` : "No line needs a person.";
  let sign = " Not signed off yet.";
  if (signed) sign = signed.withdrawn ? ` The signature of ${signed.who} no longer holds: ${signed.withdrawn}.` : ` Signed off by ${signed.who}.${signed.asked.map((text) => ` ${text}`).join("")}`;
  $("standing").textContent = left + sign;
};

// Elements are kept while what they show stays the same, so that a change touches its own line only.
const kept = new Map();
const element = (row, build) => {
  const here = row.key === desk.chosen;
  const sign = here && desk.form ? null : JSON.stringify([row, here]);
  const old = kept.get(row.key);
  if (sign !== null && old?.sign === sign) return old.element;
  const made = build(row);
  kept.set(row.key, { sign, element: made });
  return made;
};
const patch = (list, elements) => {
  elements.forEach((wanted, n) => {
    if (list.children[n] !== wanted) list.insertBefore(wanted, list.children[n] ?? null);
  });
  while (list.children.length > elements.length) list.lastElementChild.remove();
};
const whole = (list, rows, build) => {
  const sign = JSON.stringify(rows);
  if (list.sign === sign) return;
  list.sign = sign;
  list.replaceChildren(...rows.map(build));
};

export const show = () => {
  const rows = order();
  const lists = { needs: rows.filter((row) => row.open), rest: rows.filter((row) => !row.open) };
  const nothing = make("li", {}, "Nothing: every line is settled, or was read with little doubt.");
  patch($("needs"), lists.needs.length ? lists.needs.map((row) => element(row, row.id ? line : check)) : [nothing]);
  patch($("rest"), lists.rest.map((row) => element(row, line)));
  $("aside-part").hidden = !desk.state.aside.length;
  whole($("aside"), desk.state.aside, aside);
  whole($("sound"), desk.state.checks.filter((c) => c.state === "clear" && !c.open), sound);
  $("sound-part").hidden = !$("sound").children.length;
  whole($("promised"), desk.state.promised, promise);
  $("promised-part").hidden = !desk.state.promised.length;
  whole($("items"), desk.state.checks.filter((c) => c.state === "not-mentioned"), missing);
  $("form-top").replaceChildren(...(desk.form?.kind === "add" ? [forms.build(desk.form.row)] : []));
  for (const act of ["undo", "redo"]) {
    $(act).disabled = !desk.state[act];
    $(act).title = desk.state[act] ? `${sentence(act)} ${desk.state[act]}` : "";
  }
  $("title").textContent = desk.state.title;
  document.title = `${desk.state.title}: look the report over`;
  standing();
};
