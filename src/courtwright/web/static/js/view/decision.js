/** One decision of a replayed possession: every option, what it was worth to him, how often he would take it. */

import { signedPoints } from "../model/numbers.js";
import { h } from "./dom.js";

/** @import { Option, Replay } from "../types.js" */

/**
 * @param {Replay} replay
 * @param {number} index
 */
export function decisionCard(replay, index) {
  const decision = replay.decisions[Math.max(0, index)];
  if (!decision) return [h("p", { class: "hint" }, "Nothing is weighed in this one.")];
  const who = `${decision.figure} ${replay.players[decision.figure] ?? ""}`.trim();
  const head = index < 0 ? `${who} will weigh, at ${decision.t_s.toFixed(1)} s` : `${who} weighs, at ${decision.t_s.toFixed(1)} s`;
  const most = Math.max(...decision.options.map((option) => option.share_of_choices), 0.01);
  return [
    h(
      "table",
      { class: "decision" },
      h("caption", {}, head),
      h(
        "thead",
        {},
        h(
          "tr",
          {},
          h("th", { scope: "col" }, "option"),
          h("th", { scope: "col", class: "number" }, "worth"),
          h("th", { scope: "col", colspan: 2 }, "how often"),
        ),
      ),
      h("tbody", {}, ...decision.options.map((option) => optionRow(option, most, index >= 0))),
    ),
  ];
}

/**
 * @param {Option} option
 * @param {number} most
 * @param {boolean} made whether the decision has been made
 */
function optionRow({ text, worth_points, share_of_choices, chosen }, most, made) {
  const bar = h("span", { class: "often" });
  bar.style.inlineSize = `${Math.max(1, (share_of_choices / most) * 100)}%`;
  const did = made && chosen;
  return h(
    "tr",
    did ? { class: "chosen" } : {},
    h("th", { scope: "row" }, text, did && h("small", {}, " did this")),
    h("td", { class: "number" }, signedPoints(worth_points)),
    h("td", { class: "number" }, `${Math.round(share_of_choices * 100)}\u00a0%`),
    h("td", { class: "bar-cell", "aria-hidden": "true" }, bar),
  );
}
