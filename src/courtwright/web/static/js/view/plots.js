/** Small plots drawn by hand, in per cent of their width, so that they fit any screen. Shape says what colour says. */

import { known, meanText, rangeText, scaleOver } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { sideMark } from "./signs.js";

/** @import { Known } from "../model/numbers.js" */
/** @import { PossessionLengths, Score, TurnsOf } from "../types.js" */
/** @import { Child } from "./dom.js" */

/** @typedef {ReturnType<typeof scaleOver>} Scale */

const SCORE_PX = 92;
const LENGTH_PX = 64;

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
    middleHalf(`${quantile(score, 0.25)}–${quantile(score, 0.75)}`),
  ];
  return h("figure", {}, h("figcaption", {}, ...caption), plot, axis(scale));
}

/**
 * @param {Score} score
 * @param {number} share
 */
function quantile({ quantiles }, share) {
  return quantiles?.find((item) => item.share_of_runs === share)?.up_to_points ?? "–";
}

/**
 * How long possessions last: a bar for each second, and where the middle half of them lies.
 * @param {PossessionLengths} lengths
 */
export function lengthPlot({ bins, quantiles }) {
  const scale = scaleOver([0, ...bins.map((bin) => bin.to_s)]);
  const tallest = Math.max(...bins.map((bin) => bin.share_of_possessions), 0.01);
  const bars = bins.map(({ from_s, to_s, share_of_possessions }) => {
    const height = (share_of_possessions / tallest) * (LENGTH_PX - 6);
    const [from, to] = [scale.at(from_s), scale.at(to_s)];
    return s("rect", { x: `${from}%`, y: LENGTH_PX - height, width: `${Math.max(0.2, to - from - 0.4)}%`, height });
  });
  const [, lower, middle, upper] = quantiles.map((quantile) => quantile.up_to_s);
  const plot = s(
    "svg",
    { class: "plot score plain", height: LENGTH_PX + 14, width: "100%", "aria-hidden": "true" },
    ...bars,
    s("line", { class: "base", x1: 0, x2: "100%", y1: LENGTH_PX, y2: LENGTH_PX }),
    rangeBar({ mean: middle, low: lower, high: upper }, scale, "plain", LENGTH_PX + 8),
  );
  const caption = ["seconds of play ", h("b", {}, middle.toFixed(1)), middleHalf(`${lower.toFixed(1)}–${upper.toFixed(1)}`)];
  return h("figure", { class: "lengths" }, h("figcaption", {}, ...caption), plot, axis(scale));
}

/** @param {string} text */
function middleHalf(text) {
  return h("span", { class: "range" }, `middle half ${text}`);
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
export function table(heads, caption, body) {
  const row = h(
    "tr",
    {},
    ...heads.map((text) => h("th", { scope: "col" }, text || h("span", { class: "unseen" }, "drawn"))),
  );
  return h("table", {}, h("caption", { class: "unseen" }, caption), h("thead", {}, row), h("tbody", {}, ...body));
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
