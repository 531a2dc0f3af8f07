// The state that the server told last, and asking it for changes.
import { alarm, tell } from "./page.js";

export const desk = { state: null, chosen: null, form: null, shown: () => {} };

const take = (state) => {
  desk.state = { ...desk.state, ...state };
  desk.shown(Boolean(state.words));
};

export const load = async () => {
  const have = desk.state ? `?have=${desk.state.revision}` : "";
  const answer = await fetch(`state${have}`).catch(() => null);
  if (!answer) { alarm("The program no longer answers: start walkround review again. What was saved is kept."); return; }
  if (answer.status === 200) {
    const before = desk.state;
    take(await answer.json());
    if (before) tell("The report was changed in another window; this one shows it now.");
  }
};

let busy = Promise.resolve();

// One change at a time, in order. True where it was made.
export const ask = (action, more = {}) => {
  const made = busy.then(async () => {
    const answer = await fetch("act", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ action, revision: desk.state.revision, ...more }),
    }).catch(() => null);
    if (!answer) {
      alarm("The program no longer answers, so this change was not kept: start walkround review again.");
      return false;
    }
    const told = await answer.json().catch(() => ({ error: "The program could not do that." }));
    if (answer.ok) {
      alarm("");
      take(told);
      return true;
    }
    if (told.state) take(told.state);
    alarm(told.error);
    return false;
  });
  busy = made.catch(() => {});
  return made;
};

// Something that is only asked, and changes nothing.
export const enquire = async (action, more) => {
  const answer = await fetch("act", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ action, revision: desk.state.revision, ...more }),
  }).catch(() => null);
  if (!answer) return { error: "The program no longer answers: start walkround review again." };
  return answer.json().catch(() => ({ error: "The program could not do that." }));
};
