/** The floor: one game as it is played, for one hand. */

import { Memory, openKeep } from "./live/keep.js";
import { FloorRun } from "./live/run.js";
import { ask } from "./live/view/ask.js";
import { bar } from "./live/view/bar.js";
import { freeze } from "./live/view/freeze.js";
import { inForce } from "./live/view/in_force.js";
import { keys } from "./live/view/keys.js";
import { last } from "./live/view/last.js";
import { more } from "./live/view/more.js";
import { people } from "./live/view/people.js";
import { settle } from "./live/view/settle.js";
import { byId, h } from "./view/dom.js";
import { problemList } from "./view/problems.js";

/** @import { Fact } from "./types.js" */

const AT_REST_MS = 0;

/** @param {FloorRun} run */
function build(run) {
  const asked = ask(run);
  /** @param {Fact} fact */
  const told = (fact) => {
    const one = run.state.possessions.find((item) => item.number === fact.possession && item.inserted === (fact.detail.inserted ?? 0));
    if (one) asked.about(fact, one.figures);
  };
  const frozen = freeze(run);
  const rest = more(run, told);
  const stop = () => (asked.hide(), frozen.begin());
  const parts = [bar(run), people(run), frozen, keys(run, { told, freeze: stop, more: rest.open }), inForce(run), settle(run), last(run), rest];
  const [head, sides, teach, pad, force, look, foot, dialog] = parts;
  byId("floor").replaceChildren(
    head.element,
    h("div", { class: "columns" }, sides.element, h("div", { class: "pad" }, teach.element, pad.element, asked.element, foot.element, look.element, force.element)),
    dialog.element,
  );
  let due = 0;
  const update = () => {
    due = 0;
    for (const part of parts) part.update();
  };
  run.addEventListener("change", () => (due ||= setTimeout(update, AT_REST_MS))); // several at once are drawn once
  addEventListener("beforeunload", (event) => {
    if (run.waiting > 0 && !run.live) event.preventDefault(); // the server could not bring this page back
  });
  update();
  run.follow();
}

async function start() {
  const name = byId("floor").dataset.run ?? "";
  const keep = await openKeep().catch(() => new Memory());
  const run = await FloorRun.open(name, keep, localStorage);
  if (run instanceof FloorRun) build(run);
  else byId("floor").replaceChildren(problemList(document, run));
}

start();
