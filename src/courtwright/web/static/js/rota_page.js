/** Who plays where: what is asked, the turns, how good they are, and what each player gets. */

import { get, problemsIn } from "./net/api.js";
import { askedForm } from "./rota/asked.js";
import { countsOf } from "./rota/counts.js";
import { RotaState } from "./rota/state.js";
import { turnsTable } from "./rota/turns.js";
import { byId, h, say } from "./view/dom.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

/** @import { Vocabulary } from "./types.js" */

const page = byId("rota");
const game = page.dataset.id ?? "";

/**
 * @param {RotaState} state
 * @param {Vocabulary} words
 */
function build(state, words) {
  const form = askedForm(state, words);
  const table = turnsTable(state);
  byId("asked").append(form.element);
  byId("turns").append(table.element);
  const update = () => {
    form.update();
    table.update();
    byId("judged").replaceChildren(...judged(state));
    byId("counts").replaceChildren(...(state.answer ? countsOf(state.answer) : []));
    page.setAttribute("aria-busy", String(state.busy));
  };
  state.addEventListener("change", update);
  update();
}

/** @param {RotaState} state */
function judged(state) {
  const { answer, problems } = state;
  const lines = answer ? [answer.changed, answer.cost, answer.sentence, answer.judgement, ...answer.rota.notes] : [];
  const expected = answer?.expected;
  return [
    problems.length ? problemList(document, problems) : null,
    ...lines.filter((line) => line).map((line, at) => h("p", { class: at === 0 ? "sentence" : "" }, line)),
    expected ? h("p", { class: expected.hardly_play ? "notice warning" : "" }, expected.sentence) : null,
    state.busy ? h("p", { class: "hint" }, "looking …") : null,
    h(
      "p",
      { class: "buttons" },
      state.canUndo ? h("button", { type: "button", onclick: () => state.undo() }, "Undo") : null,
      answer ? h("button", { type: "button", onclick: () => print(state) }, "Print the turns (PDF)") : null,
      h("button", { type: "button", class: "link", onclick: () => (state.forget(), location.reload()) }, "Start afresh"),
    ),
  ].filter((part) => part !== null);
}

/** @param {RotaState} state */
async function print(state) {
  const { asked, answer } = state;
  if (!answer) return;
  const json = { asked, turns: answer.rota.turns, teams: answer.rota.teams, title: document.title.split(" · ")[1] ?? "" };
  const response = await fetch("/api/rotas/sheet", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(json) });
  if (!response.ok) return say("The sheet could not be made.");
  const link = h("a", { href: URL.createObjectURL(await response.blob()), download: "turns.pdf" });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  say("The sheet is in your downloads.");
}

startPrefs();
const [asked, words] = await Promise.all([get(`/api/games/${game}/rota/asked`), get("/api/vocabulary")]);
if (asked.ok && words.ok) {
  const state = new RotaState(game, asked.body.asked);
  const before = state.restore();
  build(state, words.body);
  if (!before) await state.plan();
} else {
  byId("judged").replaceChildren(problemList(document, [...problemsIn(asked), ...problemsIn(words)]));
}
