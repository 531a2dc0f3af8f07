// The forms of a line. What was typed is kept in desk.form until it was saved or left, whatever happens meanwhile.
import { $, alarm, button, clock, make } from "./page.js";
import { ask, desk } from "./desk.js";
import * as film from "./film.js";

export const REASONS = [
  "not a fault of this bike",
  "says again what another line says",
  "the words were heard wrongly",
  "listened and looked: it is no fault",
];
const SIDES = [["", "No side said"], ["left", "Left-hand"], ["right", "Right-hand"], ["both", "Both sides"]];
const SEVERITIES = [["minor", "Minor"], ["moderate", "Moderate"], ["serious", "Serious"]];

const select = (id, pairs, value) => {
  const made = make("select", { id, name: id.split("-").at(-1) },
    ...pairs.map(([key, text]) => make("option", { value: key }, text)));
  made.value = value ?? "";
  return made;
};
const labelled = (text, control, wide) => make("p", { class: wide ? "wide" : null },
  make("label", { for: control.id }, text), control);

const time = (id, value) => {
  const input = make("input", { id, name: id.split("-").at(-1), type: "number", min: "0", step: "0.001", inputmode: "decimal" });
  input.value = String(value);
  return make("p", {}, make("label", { for: id }, id.endsWith("start") ? "From (seconds)" : "To (seconds)"), input,
    button("Take the film’s time", null, () => { input.value = film.now().toFixed(2); }));
};

// The controls of one line; `id` keeps their names apart where two stand in a form.
const fields = (row, id, withTimes = true) => {
  const parts = [["", "Part not known"], ...desk.state.parts.map((p) => [p.id, p.name])];
  const defects = desk.state.defects.map((d) => [d.id, d.name]);
  if (row.defect && !defects.some(([key]) => key === row.defect)) defects.unshift([row.defect, row.defect]);
  const words = make("textarea", { id: `${id}-quote`, name: "quote", rows: 2, maxlength: "2000" });
  words.value = row.quote ?? "";
  return make("div", { class: "fields" },
    labelled("Part", select(`${id}-part`, parts, row.part)),
    labelled("Side", select(`${id}-side`, SIDES, row.side)),
    labelled("What is wrong", select(`${id}-defect`, defects, row.defect ?? "mark")),
    labelled("How serious", select(`${id}-severity`, SEVERITIES, row.severity ?? "minor")),
    labelled("Words", words, true),
    withTimes ? time(`${id}-start`, row.start) : null,
    withTimes ? time(`${id}-end`, row.end) : null);
};

const read = (form, id) => {
  const value = (name) => form.querySelector(`#${id}-${name}`)?.value;
  const read = { part: value("part") || null, side: value("side") || null, defect: value("defect"),
    severity: value("severity"), quote: value("quote").trim() };
  const part = desk.state.parts.find((p) => p.id === read.part);
  if (part && !part.sided) read.side = null;
  if (value("start") !== undefined) Object.assign(read, { start: Number(value("start")), end: Number(value("end")) });
  return read;
};

export const close = () => { desk.form = null; alarm(""); desk.shown(); };

// Only what differs is sent, so that what was not touched stays as it was read.
const changed = (row, now) => Object.fromEntries(Object.entries(now).filter(([name, value]) => value !== (row[name] ?? null)));

const KINDS = {
  change: {
    title: "Change this line",
    body: (row) => [fields(row, "c")],
    send: (form, row) => ask("change", { row: row.id, fields: changed(row, read(form, "c")) }),
    save: "Save",
    focus: (row) => (row.part ? "#c-severity" : "#c-part"),
  },
  add: {
    title: "Add a line by hand",
    body: (row) => [make("p", { class: "quiet" }, "The report will say that these are your words, not the narrator’s."), fields(row, "a")],
    send: (form, row) => ask("add", { fields: { source: row.source, ...read(form, "a") } }),
    save: "Add it",
    focus: () => "#a-quote",
  },
  split: {
    title: "Split this line in two",
    body: (row) => ["s1", "s2"].map((id, n) => make("fieldset", {}, make("legend", {}, n ? "Second line" : "First line"), fields(row, id, false))),
    send: (form, row) => ask("split", { row: row.id, rows: ["s1", "s2"].map((id) => changed(row, read(form, id))) }),
    save: "Split it",
    focus: () => "#s2-part",
  },
  join: {
    title: "Join with another line",
    body: (row) => {
      const others = desk.state.rows.filter((r) => r.key !== row.key && r.source === row.source);
      others.sort((a, b) => (b.part === row.part) - (a.part === row.part) || Math.abs(a.start - row.start) - Math.abs(b.start - row.start));
      return [make("p", { class: "quiet" }, "The other one is set aside as said twice; this one is kept."),
        labelled("The line that says the same", select("j-other", others.map((r) => [r.id, `${clock(r.start)} ${r.name}`]), others[0]?.id), true)];
    },
    send: (form, row) => ask("join", { row: row.id, other: form.querySelector("#j-other").value }),
    save: "Join them",
    focus: () => "#j-other",
  },
  dismiss: {
    title: "Set this line aside: why?",
    body: (row, send) => [
      make("div", { class: "row-tools" }, ...REASONS.map((reason, n) => button(reason, String(n + 1), () => send(reason)))),
      labelled("Or in your own words", make("input", { id: "d-reason", name: "reason", maxlength: "2000" }), true),
      make("p", { class: "quiet" }, "The report keeps it, with the reason, among what was set aside."),
    ],
    send: (form, row, reason) => ask("dismiss", { row: row.id, reason: reason ?? form.querySelector("#d-reason").value }),
    save: "Set aside",
    focus: () => ".row-tools button",
  },
  picture: {
    title: "Choose a picture",
    body: (row, send) => [make("div", { class: "pictures" }, ...row.other_stills.map((still, n) =>
      button("", String(n + 1), () => send(still.file), { "aria-label": `Picture at ${clock(still.time)}` })))],
    send: (form, row, file) => (file ? ask("picture", { row: row.id, still: file }) : Promise.resolve(false)),
    focus: () => ".pictures button",
  },
};

const path = (file) => file.split("/").map(encodeURIComponent).join("/");

export const build = (row) => {
  const { kind } = desk.form;
  const is = KINDS[kind];
  const form = make("form", { class: "form", "aria-label": is.title });
  const send = async (choice) => {
    keep(form);
    if (await is.send(form, row, choice)) {
      desk.form = null;
      desk.settled(row);
    }
  };
  form.append(make("h3", {}, is.title), ...is.body(row, send));
  if (kind === "picture") {
    form.querySelectorAll(".pictures button").forEach((b, n) => b.prepend(make("img", { src: path(row.other_stills[n].file), alt: "" })));
  }
  form.append(make("p", { class: "row-tools" },
    is.save ? make("button", { type: "submit", class: "main" }, is.save, " ", make("kbd", {}, "Enter")) : null,
    button("Leave", "Esc", close)));
  form.addEventListener("submit", (event) => { event.preventDefault(); send(); });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("select, textarea") && !event.shiftKey) {
      event.preventDefault();
      send();
    }
    if (/^[1-9]$/.test(event.key) && !event.target.matches("input, textarea, select")) {
      const choice = form.querySelectorAll(".row-tools button, .pictures button")[Number(event.key) - 1];
      if (choice?.querySelector("kbd")?.textContent === event.key) { event.preventDefault(); choice.click(); }
    }
  });
  for (const [id, value] of Object.entries(desk.form.typed ?? {})) {
    const control = form.querySelector(`#${CSS.escape(id)}`);
    if (control) control.value = value;
  }
  return form;
};

// What was typed so far, so that the form comes back with it.
export const keep = (form = document.querySelector(".form")) => {
  if (!desk.form || !form) return;
  desk.form.typed = Object.fromEntries([...form.elements].filter((e) => e.id).map((e) => [e.id, e.value]));
};

export const focusOf = (row) => KINDS[desk.form.kind].focus(row);

export const begin = (kind, row) => {
  desk.form = { kind, key: row.key, row: kind === "add" ? row : null, typed: null };
  desk.shown();
  document.querySelector(`.form ${focusOf(row)}`)?.focus();
};

export const beginAdd = () => {
  film.pause();
  const start = Number(film.now().toFixed(2));
  begin("add", { key: null, source: film.number(), start, end: Number((start + 3).toFixed(2)), part: null, side: null, quote: "" });
  $("form-top").scrollIntoView({ block: "nearest" });
};
