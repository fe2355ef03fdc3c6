/** What a reading says, as tables and a curve. Ranges are drawn; every picture has its numbers beside it. */

import { meanText, rangeText, scaleOver } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { rangeBar } from "./plots.js";

/** @import { Estimate, HelpOf, PassTo, SwitchPoint } from "../types.js" */
/** @import { Child } from "./dom.js" */

const NUMBERS = new Set(["gap at release", "made", "lost"]);
const CURVE = { width: 320, height: 120, left: 8, right: 8, top: 16, bottom: 22 };

/**
 * @param {string[]} head
 * @param {string} caption
 * @param {Child[]} body
 */
function table(head, caption, body) {
  const cells = head.map((text) => h("th", { scope: "col", class: NUMBERS.has(text) ? "number" : "" }, text));
  return h(
    "table",
    {},
    h("caption", { class: "unseen" }, caption),
    h("thead", {}, h("tr", {}, ...cells)),
    h("tbody", {}, ...body),
  );
}

/** @param {Estimate} estimate */
const metres = (estimate) => (estimate.mean === null ? "–" : `${estimate.mean.toFixed(1)} m`);

/**
 * @param {Estimate} estimate
 * @param {ReturnType<typeof scaleOver>} scale
 */
function drawn(estimate, scale) {
  const track = s("line", { class: "track", x1: 0, x2: "100%", y1: 10, y2: 10 });
  const range = /** @type {any} */ (estimate);
  const bar = estimate.mean === null ? null : rangeBar(range, scale, "plain", 10);
  return s("svg", { class: "plot bar", height: 20, width: "100%", "aria-hidden": "true" }, track, bar);
}

/**
 * A pass now, mate by mate.
 * @param {PassTo[]} passes
 */
export function passTable(passes) {
  const body = passes.map((pass) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, pass.to),
      h("td", { class: "number" }, metres(pass.gap)),
      h("td", { class: "number" }, meanText(pass.chance)),
      h("td", { class: "number" }, meanText(pass.risk)),
    ),
  );
  return table(["pass to", "gap at release", "made", "lost"], "A pass now", body);
}

/**
 * One helper's choices. Shaded rows are about level with his best.
 * @param {HelpOf} help
 * @param {boolean} rotated
 */
export function helpTable(help, rotated) {
  const worth = (/** @type {HelpOf["rows"][0]} */ row) => (rotated ? row.worth_rotated : row.worth);
  const all = [...help.rows.map(worth), help.never.worth];
  const ends = all.flatMap((one) => [one.low ?? 0, one.high ?? 0]);
  const scale = scaleOver([Math.min(...ends), Math.max(...ends)]);
  const rows = help.rows.map((row) =>
    h(
      "tr",
      { class: (rotated ? row.level_rotated : row.level) ? "level" : "" },
      h("th", { scope: "row" }, row.leaves.startsWith("dribble") ? `on ${row.leaves}` : row.leaves),
      h("td", {}, row.in_time === "even" ? "either way" : row.in_time),
      h("td", { class: "number" }, metres(row.left_gap)),
      h("td", { class: "drawn" }, drawn(worth(row), scale), h("span", { class: "unseen" }, rangeText(worth(row)))),
    ),
  );
  const never = h(
    "tr",
    { class: help.never.level ? "level" : "" },
    h("th", { scope: "row" }, "never"),
    h("td", {}, "–"),
    h("td", { class: "number" }, "–"),
    h("td", { class: "drawn" }, drawn(help.never.worth, scale), h("span", { class: "unseen" }, rangeText(help.never.worth))),
  );
  const left = help.man ? `${help.man} left with` : "left with";
  return table([`${help.helper} leaves`, "at the rim", left, "likely range"], `When ${help.helper} helps`, [...rows, never]);
}


/**
 * What early help costs against the share the man left makes from there.
 * @param {SwitchPoint[]} points
 * @param {string} man
 */
export function switchCurve(points, man) {
  const { width, height, left, right, top, bottom } = CURVE;
  const costs = points.flatMap((point) => [point.early_cost.low ?? 0, point.early_cost.high ?? 0, 0]);
  const low = Math.min(...costs, -0.05);
  const high = Math.max(...costs, 0.05);
  const first = points[0].open_threes_made;
  const last = points[points.length - 1].open_threes_made;
  const x = (/** @type {number} */ share) => left + ((share - first) / (last - first)) * (width - left - right);
  const y = (/** @type {number} */ cost) => top + ((high - cost) / (high - low)) * (height - top - bottom);
  const at = (/** @type {SwitchPoint} */ point, /** @type {"mean" | "low" | "high"} */ end) =>
    `${x(point.open_threes_made).toFixed(1)},${y(point.early_cost[end] ?? 0).toFixed(1)}`;
  const band = [...points.map((point) => at(point, "high")), ...[...points].reverse().map((point) => at(point, "low"))];
  const marks = points.map((point) =>
    s("text", { x: x(point.open_threes_made), y: height - 6, "text-anchor": "middle" }, `${Math.round(point.open_threes_made * 100)} %`),
  );
  return s(
    "svg",
    { class: "switch-curve", viewBox: `-8 0 ${width + 16} ${height}`, role: "img", "aria-label": `Cost of leaving ${man} on dribble 1, by the threes he makes` },
    s("polygon", { class: "band", points: band.join(" ") }),
    s("line", { class: "zero", x1: left, x2: width - right, y1: y(0), y2: y(0) }),
    s("polyline", { class: "curve", points: points.map((point) => at(point, "mean")).join(" ") }),
    s("text", { x: left, y: 10 }, "early help costs"),
    y(low) - y(0) > 14 ? s("text", { x: left, y: height - bottom - 2 }, "early help is free") : null,
    ...marks,
  );
}
