/** Small plots drawn by hand, in per cent of their width, so that they fit any screen. Shape says what colour says. */

import { rangeText, scaleOver, unitText, valueText } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { sideMark } from "./signs.js";

/** @import { Estimate, Measure, Score, TurnsOf } from "../types.js" */
/** @import { Child } from "./dom.js" */

/** @typedef {ReturnType<typeof scaleOver>} Scale */

const SCORE_PX = 92;

/**
 * A likely range with its middle: a circle for the attack, a cross for the defence.
 * @param {Estimate} estimate
 * @param {Scale} scale
 * @param {string} side
 * @param {number} y
 */
function rangeBar({ mean, low, high }, scale, side, y) {
  const x = (/** @type {number} */ value) => `${scale.at(value)}%`;
  const middle =
    side === "defence"
      ? s("path", { class: "middle", d: "M-4 -4L4 4M-4 4L4 -4" })
      : s("circle", { class: "middle", r: 4 });
  return s(
    "g",
    { class: `range ${side}` },
    s("line", { x1: x(low), x2: x(high), y1: y, y2: y }),
    s("svg", { x: x(mean), y, overflow: "visible", width: 1, height: 1 }, middle),
  );
}

/**
 * @param {Scale} scale
 * @param {number} height
 */
function guides(scale, height) {
  return scale.ticks.map((tick) => s("line", { class: "guide", x1: `${scale.at(tick)}%`, x2: `${scale.at(tick)}%`, y1: 0, y2: height }));
}

/**
 * The marks under a plot, as text of the page.
 * @param {Scale} scale
 */
function axis(scale) {
  const marks = scale.ticks.map((tick) => {
    const mark = h("span", {}, valueText(tick, "").replace(/\.0$/, ""));
    mark.style.insetInlineStart = `${scale.at(tick)}%`;
    return mark;
  });
  return h("div", { class: "axis", "aria-hidden": "true" }, ...marks);
}

/**
 * How the score of one side or team spreads over the runs.
 * @param {Score} score
 * @param {Scale} scale shared by all scores, so that they can be compared
 * @param {string} side
 */
export function scorePlot(score, scale, side) {
  const tallest = Math.max(...score.bins.map((bin) => bin.share), 0.01);
  const bars = score.bins.map((bin) => {
    const height = (bin.share / tallest) * (SCORE_PX - 14);
    const [from, to] = [scale.at(bin.from), scale.at(bin.to)];
    return s("rect", { x: `${from}%`, y: SCORE_PX - height, width: `${Math.max(0, to - from - 0.4)}%`, height });
  });
  const plot = s(
    "svg",
    { class: `plot score ${side}`, height: SCORE_PX + 12, width: "100%", "aria-hidden": "true" },
    ...bars,
    s("line", { class: "base", x1: 0, x2: "100%", y1: SCORE_PX, y2: SCORE_PX }),
    rangeBar(score, scale, side, SCORE_PX + 6),
  );
  const range = h("span", { class: "range" }, `range ${rangeText(score, score.unit)}`);
  const caption = h("figcaption", {}, sideMark(side), `${score.team} `, h("b", {}, valueText(score.mean, score.unit)), range);
  return h("figure", {}, caption, plot, axis(scale));
}

/** @param {Score[]} scores */
export function scoreScale(scores) {
  return scaleOver(scores.flatMap((score) => [score.low, score.high, ...score.bins.flatMap((bin) => (bin.share > 0 ? [bin.from, bin.to] : []))]));
}

/**
 * @param {string[]} heads
 * @param {string} caption
 * @param {Child[]} body
 */
function table(heads, caption, body) {
  const row = h("tr", {}, ...heads.map((text) => h("th", { scope: "col" }, text || h("span", { class: "unseen" }, "drawn"))));
  return h("table", {}, h("caption", { class: "unseen" }, caption), h("thead", {}, row), h("tbody", {}, ...body));
}

/**
 * Measures with their ranges; shares stand on one scale from 0 to 100 %, other units on a scale of their own.
 * @param {Measure[]} measures
 */
export function measureTable(measures) {
  const scaleFor = (/** @type {Measure} */ measure) =>
    measure.unit.startsWith("share") ? scaleOver([0, 1]) : scaleOver([0, measure.high, ...alike(measures, measure)]);
  const body = measures.map((measure) => {
    const plot = s("svg", { class: "plot bar", height: 20, width: "100%", "aria-hidden": "true" }, ...track(), rangeBar(measure, scaleFor(measure), "plain", 10));
    return h(
      "tr",
      {},
      h("th", { scope: "row" }, measure.text, h("small", {}, ` ${unitText(measure.unit)}`)),
      h("td", { class: "drawn" }, plot),
      h("td", { class: "number" }, valueText(measure.mean, measure.unit)),
      h("td", { class: "number range" }, rangeText(measure, measure.unit)),
    );
  });
  return table(["per possession", "", "mean", "range"], "What happened, with likely ranges", body);
}

/**
 * @param {Measure[]} measures
 * @param {Measure} one
 */
function alike(measures, one) {
  return measures.filter((measure) => measure.unit === one.unit).map((measure) => measure.high);
}

function track() {
  return [s("line", { class: "track", x1: 0, x2: "100%", y1: 10, y2: 10 })];
}

/**
 * Turns of each player, attacking above, defending below, on one scale.
 * @param {TurnsOf[]} turns
 */
export function turnsTable(turns) {
  const scale = scaleOver(turns.flatMap(({ offence, defence }) => [offence.low, offence.high, defence.low, defence.high]));
  const body = turns.map(({ player, offence, defence, unit }) => {
    const plot = s(
      "svg",
      { class: "plot turns", height: 26, width: "100%", "aria-hidden": "true" },
      ...guides(scale, 26),
      rangeBar(offence, scale, "offence", 8),
      rangeBar(defence, scale, "defence", 18),
    );
    return h(
      "tr",
      {},
      h("th", { scope: "row" }, player),
      h("td", { class: "drawn" }, plot),
      h("td", { class: "number offence" }, valueText(offence.mean, unit)),
      h("td", { class: "number defence" }, valueText(defence.mean, unit)),
    );
  });
  const made = table(["player", "", "attacks", "defends"], "Turns a run for each player", body);
  made.tBodies[0].append(h("tr", { class: "axis-row" }, h("td"), h("td", {}, axis(scale)), h("td"), h("td")));
  return made;
}
