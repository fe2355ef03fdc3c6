/** Who is here, late, away or to go easy; who is put in by hand; new turns for those who are here. */

/** @import { FloorRun } from "../run.js" */

import { problemsIn, request } from "../../net/api.js";
import { h, say } from "../../view/dom.js";
import { sideOf } from "./people.js";

const STATES = ["here", "late", "away", "limited"];
const GONE = ["late", "away"];

/** @param {FloorRun} run */
export function here(run) {
  const { opening, state } = run;
  const names = [...new Set([...opening.players, ...Object.keys(state.attendance)])];
  const rows = names.map((name) => {
    const now = state.attendance[name] ?? "here";
    const choice = h("select", { "aria-label": `${name} is`, "data-key": `here ${name}` }, ...STATES.map((one) => h("option", { value: one, selected: one === now }, one)));
    choice.addEventListener("change", () => run.tell("attendance", { player: name, state: choice.value }));
    return h("li", {}, h("span", {}, name), choice);
  });
  return h(
    "section",
    {},
    h("h3", {}, "Who is here"),
    h("ul", { class: "here" }, ...rows),
    h("p", {}, "“Limited” is for your own device; who comes back after an injury is for qualified people to say."),
    newcomer(run),
    h("div", { class: "row" }, h("button", { type: "button", class: "small", onclick: () => newTurns(run, names) }, "new turns for those who are here")),
    putIn(run, names),
  );
}

/** @param {FloorRun} run */
function newcomer(run) {
  const name = h("input", { type: "text", maxlength: 40, required: true, "aria-label": "somebody who has come", placeholder: "somebody who has come" });
  const form = h("form", { class: "row" }, name, h("button", { type: "submit", class: "small" }, "is here"));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (name.value.trim()) void run.tell("attendance", { player: name.value.trim(), state: "here" });
  });
  return form;
}

/** @param {FloorRun} run @param {string[]} names */
async function newTurns(run, names) {
  const present = names.filter((name) => !GONE.includes(run.state.attendance[name] ?? "here"));
  const answer = await request("POST", `/api/runs/${run.name}/rota`, { json: { here: present } });
  if (answer.ok) {
    await run.tell("rota changed", { turns: answer.body.turns });
    say(answer.body.sentence);
  } else say(problemsIn(answer).map((problem) => `${problem.what}. ${problem.mend}`).join(" "));
}

/** @param {FloorRun} run @param {string[]} names */
function putIn(run, names) {
  const { figures } = run.state;
  const all = [...sideOf(figures, false), ...sideOf(figures, true)];
  const who = h("select", { "aria-label": "player to put in" }, ...names.map((name) => h("option", { value: name }, name)));
  const where = h("select", { "aria-label": "for whom" }, ...all.map((figure) => h("option", { value: figure }, `${figure} ${figures[figure] || "nobody"}`)));
  const tap = () => run.tell("substitution", { figure: where.value, player: who.value });
  return h("div", { class: "row" }, who, h("span", {}, "for"), where, h("button", { type: "button", class: "small", onclick: tap }, "put in, this turn"));
}
