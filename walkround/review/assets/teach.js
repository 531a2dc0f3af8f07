// Teaching a word: what else would change is shown before it can be added.
import { $, clock, make, tell } from "./page.js";
import { ask, desk, enquire } from "./desk.js";
import * as lines from "./lines.js";

const lesson = () => {
  const [kind, id] = $("teach-means").value.split("/");
  return { kind, id, form: $("teach-form-word").value.trim() };
};

const group = (label, kind, rows) => make("optgroup", { label },
  ...rows.map((row) => make("option", { value: `${kind}/${row.id}` }, row.name)));

const list = (title, rows) => (rows.length ? [make("h3", {}, title), make("ul", {}, ...rows.map((row) => make("li", {},
  row.start === undefined ? `${row.name}: ${row.text}` : `${clock(row.start)} ${row.name}: “${row.text}”`)))] : []);

const untried = () => { $("teach-yes").disabled = true; $("teach-told").replaceChildren(); };

export const open = () => {
  const row = lines.chosen();
  const unknown = /“([^”]+)” is not in the lexicon/.exec(row?.review ?? "");
  $("teach-means").replaceChildren(make("option", { value: "" }, "Choose"),
    group("A part", "part", desk.state.parts), group("A fault", "defect", desk.state.defects));
  $("teach-form-word").value = unknown?.[1] ?? row?.heard_as ?? "";
  untried();
  $("teach").showModal();
};

$("teach-form").addEventListener("input", untried);
$("teach-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  $("teach-told").textContent = "Reading everything again with this word …";
  const told = await enquire("try", lesson());
  if (told.error) { $("teach-told").textContent = told.error; return; }
  const parts = [...list("Lines there would be", told.more), ...list("Lines there would no longer be", told.fewer),
    ...list("Checklist items that would stand otherwise", told.items)];
  $("teach-told").replaceChildren(...(parts.length ? parts : [make("p", {}, "Nothing in this report would change.")]),
    make("p", { class: "quiet" }, `It goes into ${told.where}.`));
  $("teach-yes").disabled = false;
});
$("teach-yes").addEventListener("click", async () => {
  if (await ask("teach", lesson())) tell("Added to your words; everything was read again.");
  $("teach").close();
});
$("teach-no").addEventListener("click", () => $("teach").close());
