/** What a reading says, as tables. Ranges are drawn; every picture has its numbers beside it. */

import { aboutText, lengthText } from "../model/geometry.js";
import { known, meanText, rangeText, scaleOver } from "../model/numbers.js";
import { h, s } from "./dom.js";
import { axis, rangeBar } from "./plots.js";
import { prefs } from "./prefs.js";

/** @import { Estimate, HelpOf, ReadMore, ReadingResult } from "../types.js" */
/** @import { Child } from "./dom.js" */
/** @import { Scale } from "./plots.js" */

/** @typedef {{ helper: string | null, cue: string }} Row a row of a help table; nobody helps in `never` */

const NUMBERS = new Set(["gap at release", "made", "lost"]);

/**
 * @param {string[]} head
 * @param {string} caption
 * @param {Child[]} body
 * @param {Scale} scale of the ranges in the last column
 */
function table(head, caption, body, scale) {
  const cells = head.map((text) => h("th", { scope: "col", class: NUMBERS.has(text) ? "number" : "" }, text));
  const marks = h(
    "tr",
    { class: "axis-row", "aria-hidden": "true" },
    ...head.map((_, index) => h("td", {}, index === head.length - 1 ? axis(scale) : null)),
  );
  return h(
    "table",
    {},
    h("caption", { class: "unseen" }, caption),
    h("thead", {}, h("tr", {}, ...cells)),
    h("tbody", {}, ...body, marks),
  );
}

/** @param {Estimate} estimate */
const metres = (estimate) => (estimate.mean === null ? "–" : lengthText(estimate.mean, prefs.feet));

/** @param {Estimate} estimate */
const about = (estimate) => (estimate.mean === null ? "–" : aboutText(estimate.mean, prefs.feet));

/** @param {Estimate[]} estimates */
function scaleOf(estimates) {
  return scaleOver(
    estimates.flatMap((one) => [one.low ?? 0, one.high ?? 0]),
    3,
  );
}

/**
 * @param {Estimate} estimate
 * @param {Scale} scale
 */
function drawn(estimate, scale) {
  const guides = scale.ticks.map((tick) =>
    s("line", { class: "guide", x1: `${scale.at(tick)}%`, x2: `${scale.at(tick)}%`, y1: 0, y2: 20 }),
  );
  const bar = rangeBar(known(estimate), scale, "plain", 10);
  const plot = s("svg", { class: "plot bar", height: 20, width: "100%", "aria-hidden": "true" }, ...guides, bar);
  return h("td", { class: "drawn" }, plot, h("span", { class: "unseen" }, rangeText(estimate)));
}

/**
 * The shot and every pass now.
 * @param {ReadingResult} reading
 */
export function nowTable({ holder, shot, passes }) {
  const scale = scaleOf([shot.worth, ...passes.map((pass) => pass.worth)]);
  const row = (
    /** @type {string} */ name,
    /** @type {{ gap: Estimate, chance: Estimate, worth: Estimate, risk?: Estimate }} */ one,
  ) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, name),
      h("td", { class: "number" }, metres(one.gap)),
      h("td", { class: "number" }, meanText(one.chance)),
      h("td", { class: "number" }, one.risk ? meanText(one.risk) : ""),
      drawn(one.worth, scale),
    );
  const body = [row(`${holder} shoots`, shot), ...passes.map((pass) => row(`pass to ${pass.to}`, pass))];
  return table(["now", "gap at release", "made", "lost", "worth"], "The shot and the passes now", body, scale);
}

/**
 * One helper's choices. Shaded rows are about level with his best; a row can be shown on the board.
 * @param {HelpOf} help
 * @param {boolean} rotated
 * @param {Row | null} chosen
 * @param {(row: Row | null) => void} choose
 */
export function helpTable(help, rotated, chosen, choose) {
  const worth = (/** @type {HelpOf["rows"][0]} */ row) => (rotated ? row.worth_rotated : row.worth);
  const scale = scaleOf([...help.rows.map(worth), help.never.worth]);
  const line = (
    /** @type {Row} */ row,
    /** @type {boolean} */ level,
    /** @type {string[]} */ said,
    /** @type {Estimate} */ one,
  ) =>
    h(
      "tr",
      { class: level ? "level" : "" },
      h("th", { scope: "row" }, rowButton(row, chosen, choose), level && h("span", { class: "unseen" }, ", about level")),
      h("td", {}, said[0]),
      h("td", { class: "number" }, said[1]),
      drawn(one, scale),
    );
  const rows = help.rows.map((row) =>
    line(
      { helper: help.helper, cue: row.leaves },
      rotated ? row.level_rotated : row.level,
      [row.in_time, about(row.left_gap)],
      worth(row),
    ),
  );
  const never = line({ helper: null, cue: "never" }, help.never.level, ["–", "–"], help.never.worth);
  const left = help.man ? `${help.man} left with` : "left with";
  const heads = [`${help.helper} leaves`, "at the rim", left, "worth to the attack"];
  return table(heads, `When ${help.helper} helps`, [...rows, never], scale);
}

/** @param {string} cue */
export function cueText(cue) {
  return cue.startsWith("dribble") ? `on ${cue}` : cue;
}

/** @param {Row} row */
export function rowText({ helper, cue }) {
  return helper ? `${helper} leaves ${cueText(cue)}` : "nobody helps";
}

/**
 * @param {Row} row
 * @param {Row | null} chosen
 * @param {(row: Row | null) => void} choose
 */
function rowButton(row, chosen, choose) {
  const pressed = chosen?.helper === row.helper && chosen.cue === row.cue;
  return h(
    "button",
    {
      type: "button",
      class: "link row",
      "aria-pressed": String(pressed),
      "data-key": `row ${row.helper} ${row.cue}`,
      title: pressed ? "Take the drive off the board" : "Show the drive on the board",
      onclick: () => choose(pressed ? null : row),
    },
    cueText(row.cue),
  );
}

/** @param {ReadMore["pauses"]} pauses */
export function pauseTable(pauses) {
  const scale = scaleOf([...pauses.map((pause) => pause.loss), { mean: 0, low: 0, high: 0.1, unit: "" }]);
  const body = pauses.map(({ pause_s, loss }) =>
    h("tr", {}, h("th", { scope: "row" }, `${pause_s} s`), h("td", { class: "number" }, meanText(loss)), drawn(loss, scale)),
  );
  return table(["after the catch", "lost", "likely range"], "What a pause costs", body, scale);
}
