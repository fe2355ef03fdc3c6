/** A measure over the values of a setting: the curve, its range as a band, and what each value amounts to. */

import { isShare, meanText, rangeText, scaleOver, unitText } from "../model/numbers.js";
import { changeText } from "../model/change.js";
import { placesOf, settingText } from "../model/sweep.js";
import { h, s } from "./dom.js";
import { table } from "./plots.js";

/** @import { Sweep, SweepPoint } from "../types.js" */

const SIZE = { width: 420, height: 190, left: 46, right: 22, top: 16, bottom: 40 };

/** @param {Sweep} sweep */
export function sweepChart(sweep) {
  const { width, height, left, right, top, bottom } = SIZE;
  const { points, measure } = sweep;
  const ends = points.flatMap(({ mean, low, high }) => [mean, low, high]).filter((value) => value !== null);
  const scale = scaleOver(ends.length ? ends : [0, 1]);
  const share = placesOf(points);
  const x = (/** @type {number} */ index) => left + share[index] * (width - left - right);
  const y = (/** @type {number} */ value) => height - bottom - (scale.at(value) / 100) * (height - top - bottom);
  const text = (/** @type {number} */ tx, /** @type {number} */ ty, /** @type {string} */ words, anchor = "middle") =>
    s("text", { x: tx, y: ty, "text-anchor": anchor }, words);
  const told = points.flatMap((point, index) => (point.mean === null ? [] : [{ point, index }]));
  const joined = told.filter(({ point }) => typeof point.value === "number");
  const line = joined.map(({ point, index }) => `${x(index)},${y(point.mean ?? 0)}`);
  const band = [
    ...joined.map(({ point, index }) => `${x(index)},${y(point.high ?? point.mean ?? 0)}`),
    ...[...joined].reverse().map(({ point, index }) => `${x(index)},${y(point.low ?? point.mean ?? 0)}`),
  ];
  const plot = s(
    "svg",
    { class: "sweep-chart", viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": sweep.sentences.join(" ") },
    ...scale.ticks.flatMap((tick) => [
      s("line", { class: "guide", x1: left, x2: width - right, y1: y(tick), y2: y(tick) }),
      text(left - 7, y(tick) + 4, tickText(tick, scale.ticks, measure.unit), "end"),
    ]),
    joined.length > 1 && s("polygon", { class: "band", points: band.join(" ") }),
    joined.length > 1 && s("polyline", { class: "curve", points: line.join(" ") }),
    ...told.map(({ point, index }) => valueMark(point, x(index), y, typeof point.value === "string")),
    ...points.map((point, index) => text(x(index), height - 22, valueText(point.value))),
    text(left + (width - left - right) / 2, height - 5, settingText(sweep.setting)),
  );
  const caption = `${measure.text}, ${isShare(measure.unit) ? `% ${unitText(measure.unit)}` : measure.unit}`;
  return h("figure", { class: "swept" }, h("figcaption", {}, caption), plot, key(points));
}

/**
 * As many decimals as tell two ticks apart.
 * @param {number} tick
 * @param {number[]} ticks
 * @param {string} unit
 */
function tickText(tick, ticks, unit) {
  const times = isShare(unit) ? 100 : 1;
  const step = (ticks[1] - ticks[0]) * times;
  return (tick * times).toFixed(Math.max(0, Math.ceil(-Math.log10(step) - 1e-9))).replace("-", "−");
}

/** @param {number | string} value */
function valueText(value) {
  return String(value).replace("-", "−");
}

/**
 * What a value amounts to against the present one: a full circle differs, an open one does not, a question mark cannot
 * be told; the present value is a full square.
 * @param {SweepPoint} point
 * @param {number} x
 * @param {(value: number) => number} y
 * @param {boolean} alone
 */
function valueMark({ mean, low, high, verdict }, x, y, alone) {
  const at = y(mean ?? 0);
  const reach = alone && low !== null && high !== null && s("line", { class: "reach", x1: x, x2: x, y1: y(low), y2: y(high) });
  return s("g", { class: `value ${(verdict ?? "now").replace(" ", "-")}` }, reach, shape(verdict, x, at));
}

/**
 * @param {SweepPoint["verdict"]} verdict
 * @param {number} x
 * @param {number} y
 */
function shape(verdict, x, y) {
  if (verdict === null) return s("rect", { x: x - 4.5, y: y - 4.5, width: 9, height: 9 });
  if (verdict !== "cannot tell") return s("circle", { cx: x, cy: y, r: 4.5 });
  return s("g", {}, s("circle", { cx: x, cy: y, r: 7 }), s("text", { x, y: y + 4, "text-anchor": "middle" }, "?"));
}

/** @param {SweepPoint[]} points */
function key(points) {
  const has = (/** @type {(verdict: SweepPoint["verdict"]) => boolean} */ is) => points.some((point) => is(point.verdict));
  const entry = (/** @type {SweepPoint["verdict"]} */ verdict, /** @type {string} */ words) =>
    h(
      "li",
      {},
      s(
        "svg",
        { class: "sweep-chart", width: 18, height: 18, viewBox: "0 0 18 18", "aria-hidden": "true" },
        s("g", { class: `value ${(verdict ?? "now").replace(" ", "-")}` }, shape(verdict, 9, 9)),
      ),
      words,
    );
  return h(
    "ul",
    { class: "sweep-key" },
    has((verdict) => verdict === null) && entry(null, "now"),
    has((verdict) => verdict === "up" || verdict === "down") && entry("up", "differs from now"),
    has((verdict) => verdict === "no difference") && entry("no difference", "no difference"),
    has((verdict) => verdict === "cannot tell") && entry("cannot tell", "the trial cannot tell"),
  );
}

/**
 * The same in numbers.
 * @param {Sweep} sweep
 */
export function sweepTable({ points, measure, setting }) {
  const body = points.map((point) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, valueText(point.value)),
      h("td", { class: "number" }, meanText(point)),
      h("td", { class: "number range" }, rangeText(point)),
      h("td", { class: "number" }, verdictText(point, measure.unit)),
    ),
  );
  return h(
    "details",
    { class: "how" },
    h("summary", {}, "The curve in numbers"),
    table([setting.unit || "value", "mean", "8 of 10", "against now"], "The curve in numbers", body),
  );
}

/**
 * @param {SweepPoint} point
 * @param {string} unit
 */
function verdictText({ verdict, change }, unit) {
  if (verdict === null) return "now";
  const size = (verdict === "up" || verdict === "down") && change !== undefined ? ` ${changeText({ change, unit })}` : "";
  return `${verdict}${size}`;
}
