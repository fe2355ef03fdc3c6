/** What devices do not agree on, and what the server would not take: to be looked at, never changed silently. */

/** @import { FloorRun } from "../run.js" */

import { h } from "../../view/dom.js";
import { callText } from "./words.js";

/** @param {FloorRun} run */
export function settle(run) {
  const list = h("ul", {});
  const element = h("details", { class: "settle", hidden: true }, h("summary", {}, ""), list);

  /** @param {string} text @param {...[string, () => unknown]} choices */
  const row = (text, ...choices) =>
    h("li", {}, h("p", {}, text), ...choices.map(([words, tap]) => h("button", { type: "button", onclick: tap }, words)));

  const disputed = () =>
    run.state.possessions.flatMap((one) =>
      one.calls.flatMap((call) =>
        call.disputes.map(({ event, detail, said }) => {
          const held = call.detail[detail];
          /** @param {any} value @param {string} other the call that says otherwise: it is put right too */
          const put = (value, other) => () => run.tell("edit", { event: other, detail: { [detail]: value } }, one.number);
          return row(
            `Possession ${one.number}, ${call.kind}: ${detail} is ${held} or ${said}?`,
            [`${held}`, put(held, event)],
            [`${said}`, put(said, call.event)],
          );
        }),
      ),
    );

  const unsettled = () =>
    run.state.possessions.flatMap((one) =>
      one.unsettled.map(({ event, kind, why }) =>
        row(
          `Possession ${one.number} ended with ${one.result}; then ${kind} was called (${why}).`,
          ["take it away", () => run.tell("undo", { event }, one.number)],
          [`it was possession ${one.number + 1}`, () => run.tell("edit", { event, possession: one.number + 1 }, one.number)],
        ),
      ),
    );

  const refused = () =>
    run.refused.map(({ fact, problems = [] }) =>
      row(
        `Not taken: ${callText(fact, run.state.figures)}. ${problems.map((problem) => `${problem.what}. ${problem.mend}`).join(" ")}`,
        ["send it again", () => run.again(fact.event_id)],
      ),
    );

  const update = () => {
    const rows = [...disputed(), ...unsettled(), ...refused(), ...run.outbox.barred.map((problem) => row(`${problem.what}. ${problem.mend}`))];
    element.hidden = rows.length === 0;
    /** @type {HTMLElement} */ (element.firstElementChild).textContent = `${rows.length} to look at`;
    list.replaceChildren(...rows);
  };
  return { element, update };
}
