/** Small plots drawn by hand, in per cent of their width, so that they fit any screen. Shape says what colour says. */

import { isShare, known, meanText, rangeText, scaleOver, unitText } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { sideMark } from "./signs.js";

/** @import { Known } from "../model/numbers.js" */
/** @import { Measure, Score, TurnsOf } from "../types.js" */
/** @import { Child } from "./dom.js" */

/** @typedef {ReturnType<typeof scaleOver>} Scale */

const SCORE_PX = 92;

/**
 * A likely range with its middle: a circle for the attack, a cross for the defence.
 * @param {Known | null} estimate
 * @param {Scale} scale
 * @param {string} side
 * @param {number} y
 */
export function rangeBar(estimate, scale, side, y) {
  if (!estimate) return null;
  const x = (/** @type {number} */ value) => `${scale.at(value)}%`;
  const middle =
    side === "defence"
      ? s("path", { class: "middle", d: "M-4 -4L4 4M-4 4L4 -4" })
      : s("circle", { class: "middle", r: 4 });
  return s(
    "g",
    { class: `range ${side}` },
    s("line", { x1: x(estimate.low), x2: x(estimate.high), y1: y, y2: y }),
    s("svg", { x: x(estimate.mean), y, overflow: "visible", width: 1, height: 1 }, middle),
  );
}

/**
 * The marks under a plot, as text of the page.
 * @param {Scale} scale
 */
export function axis(scale) {
  const marks = scale.ticks.map((tick) => {
    const mark = h("span", {}, String(tick).replace("-", "−"));
    mark.style.insetInlineStart = `${scale.at(tick)}%`;
    return mark;
  });
  return h("div", { class: "axis", "aria-hidden": "true" }, ...marks);
}

/**
 * How the score of one side or team spreads over the runs. A bar stands over its whole points.
 * @param {Score} score
 * @param {Scale} scale shared by all scores, so that they can be compared
 */
export function scorePlot(score, scale) {
  const side = score.team === "offence" || score.team === "defence" ? score.team : "plain";
  const tallest = Math.max(...score.bins.map((bin) => bin.share_of_runs), 0.01);
  const bars = score.bins.map((bin) => {
    const height = (bin.share_of_runs / tallest) * (SCORE_PX - 6);
    const [from, to] = [scale.at(bin.from_points - 0.5), scale.at(bin.to_points + 0.5)];
    return s("rect", { x: `${from}%`, y: SCORE_PX - height, width: `${Math.max(0.2, to - from - 0.4)}%`, height });
  });
  const plot = s(
    "svg",
    { class: `plot score ${side}`, height: SCORE_PX + 14, width: "100%", "aria-hidden": "true" },
    ...bars,
    s("line", { class: "base", x1: 0, x2: "100%", y1: SCORE_PX, y2: SCORE_PX }),
    rangeBar(known(score), scale, side, SCORE_PX + 8),
  );
  const caption = [
    side === "plain" ? "" : sideMark(side),
    `${score.team} `,
    h("b", {}, meanText(score)),
    h("span", { class: "range" }, `range ${rangeText(score)}`),
  ];
  return h("figure", {}, h("figcaption", {}, ...caption), plot, axis(scale));
}

/** @param {Score[]} scores */
export function scoreScale(scores) {
  const bins = scores.flatMap((score) => score.bins.filter((bin) => bin.share_of_runs > 0));
  return scaleOver(bins.flatMap((bin) => [bin.from_points - 0.5, bin.to_points + 0.5]));
}

/**
 * @param {string[]} heads
 * @param {string} caption
 * @param {Child[]} body
 */
function table(heads, caption, body) {
  const row = h(
    "tr",
    {},
    ...heads.map((text) => h("th", { scope: "col" }, text || h("span", { class: "unseen" }, "drawn"))),
  );
  return h("table", {}, h("caption", { class: "unseen" }, caption), h("thead", {}, row), h("tbody", {}, ...body));
}

/**
 * Measures with their ranges; shares stand on one scale from 0 to 100 %, other units each on a scale of their own.
 * @param {Measure[]} measures
 */
export function measureTable(measures) {
  const scaleFor = (/** @type {Measure} */ one) =>
    isShare(one.unit)
      ? scaleOver([0, 1])
      : scaleOver([0, ...measures.filter((measure) => measure.unit === one.unit).map((measure) => measure.high ?? 0)]);
  const body = measures.map((measure) => {
    const track = s("line", { class: "track", x1: 0, x2: "100%", y1: 10, y2: 10 });
    const bar = rangeBar(known(measure), scaleFor(measure), "plain", 10);
    const plot = s("svg", { class: "plot bar", height: 20, width: "100%", "aria-hidden": "true" }, track, bar);
    return h(
      "tr",
      {},
      h("th", { scope: "row" }, measure.text, h("small", {}, ` ${unitText(measure.unit)}`)),
      h("td", { class: "drawn" }, plot),
      h("td", { class: "number" }, meanText(measure)),
      h("td", { class: "number range" }, rangeText(measure)),
    );
  });
  return table(["", "", "mean", "range"], "What happened, with likely ranges", body);
}

/**
 * Turns of each player, attacking above, defending below, on one scale.
 * @param {TurnsOf[]} turns
 */
export function turnsTable(turns) {
  const ends = turns.flatMap(({ offence, defence }) => [offence.low, offence.high, defence.low, defence.high]);
  const scale = scaleOver(ends.filter((value) => value !== null));
  const guides = () =>
    scale.ticks.map((tick) =>
      s("line", { class: "guide", x1: `${scale.at(tick)}%`, x2: `${scale.at(tick)}%`, y1: 0, y2: 26 }),
    );
  const body = turns.map(({ player, offence, defence }) => {
    const bars = [rangeBar(known(offence), scale, "offence", 8), rangeBar(known(defence), scale, "defence", 18)];
    return h(
      "tr",
      {},
      h("th", { scope: "row" }, player),
      h(
        "td",
        { class: "drawn" },
        s("svg", { class: "plot turns", height: 26, width: "100%", "aria-hidden": "true" }, ...guides(), ...bars),
      ),
      h("td", { class: "number offence", title: rangeText(offence) }, meanText(offence)),
      h("td", { class: "number defence", title: rangeText(defence) }, meanText(defence)),
    );
  });
  const made = table(["player", "", "attacks", "defends"], "Turns a run for each player", body);
  made.className = "by-player";
  made.tBodies[0].append(
    h("tr", { class: "axis-row", "aria-hidden": "true" }, h("td"), h("td", {}, axis(scale)), h("td"), h("td")),
  );
  return made;
}
