/** The table of measures: ranges drawn, what moved marked, and luck told from what is not known once that is ready. */

import { changeSign, changeText, changeWords } from "../model/change.js";
import { isShare, known, meanText, rangeText, scaleOver, unitText } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { rangeBar, table } from "./plots.js";

/** @import { Difference, Ends, Measure, Ranges } from "../types.js" */
/** @import { Scale } from "./plots.js" */

const MIDDLE_PX = 10;

/**
 * Measures with their ranges; shares stand on one scale from 0 to 100 %, other units each on a scale of their own.
 * @param {Measure[]} measures
 * @param {{ ranges: Ranges, changes: Map<string, Difference> | null }} beside
 */
export function measureTable(measures, { ranges, changes }) {
  const scaleFor = (/** @type {Measure} */ one) =>
    isShare(one.unit)
      ? scaleOver([0, 1])
      : scaleOver([0, ...measures.filter((measure) => measure.unit === one.unit).map((measure) => measure.high ?? 0)]);
  const body = measures.map((measure) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, measure.text, h("small", {}, ` ${unitText(measure.unit)}`)),
      h("td", { class: "drawn" }, drawn(measure, scaleFor(measure), ranges[measure.key]?.parameters)),
      h("td", { class: "number" }, meanText(measure)),
      changes && h("td", { class: "number change" }, mark(changes.get(measure.key))),
      h("td", { class: "number range" }, rangeText(measure)),
    ),
  );
  const heads = ["", "", "mean", ...(changes ? ["change"] : []), "range"];
  const made = table(heads, "What happened, with likely ranges", body);
  made.className = changes ? "measures with-change" : "measures";
  return made;
}

/**
 * The range of single runs, thin; over it, thick, where the mean may lie for what is not known.
 * @param {Measure} measure
 * @param {Scale} scale
 * @param {Ends | undefined} unknown
 */
function drawn(measure, scale, unknown) {
  const x = (/** @type {number} */ value) => `${scale.at(value)}%`;
  const ends = unknown && { x1: x(unknown.low), x2: x(unknown.high), y1: MIDDLE_PX, y2: MIDDLE_PX };
  return s(
    "svg",
    { class: "plot bar", height: 2 * MIDDLE_PX, width: "100%", "aria-hidden": "true" },
    s("line", { class: "track", x1: 0, x2: "100%", y1: MIDDLE_PX, y2: MIDDLE_PX }),
    ends && s("line", { class: "unknown", ...ends }),
    rangeBar(known(measure), scale, "plain", MIDDLE_PX),
  );
}

/** @param {Difference | undefined} difference */
function mark(difference) {
  if (!difference) return "–";
  const { verdict } = difference;
  const size = verdict === "up" || verdict === "down" ? ` ${changeText(difference)}` : "";
  return h(
    "span",
    { class: `moved ${verdict.replace(" ", "-")}`, title: changeWords(difference) },
    h("span", { "aria-hidden": "true" }, changeSign(verdict)),
    h("span", { class: "unseen" }, verdict),
    size,
  );
}

/**
 * The range taken apart, in numbers.
 * @param {Measure[]} measures
 * @param {Ranges} ranges
 */
export function rangesTable(measures, ranges) {
  const told = measures.filter((measure) => ranges[measure.key]);
  if (!told.length) return null;
  const text = (/** @type {Measure} */ measure, /** @type {Ends} */ ends) =>
    rangeText({ mean: measure.mean, low: ends.low, high: ends.high, unit: measure.unit });
  const body = told.map((measure) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, measure.text, h("small", {}, ` ${unitText(measure.unit)}`)),
      h("td", { class: "number" }, text(measure, ranges[measure.key].sampling)),
      h("td", { class: "number" }, text(measure, ranges[measure.key].parameters)),
    ),
  );
  return h(
    "details",
    { class: "how apart", "data-key": "apart" },
    h("summary", {}, "Luck, and what is not known"),
    h(
      "p",
      {},
      "The range taken apart: what one run differs by through luck alone, and where the mean may lie because some " +
        "figures are assumed. More runs would narrow neither. The second is drawn thick above.",
    ),
    table(["", "luck of a run", "assumptions"], "The range taken apart", body),
  );
}
