/** What the board shows only while a figure is moved: the spots, the gap to the other side, the place in words. */

import { lengthText, placeM } from "../model/geometry.js";
import { dimension } from "../model/marks.js";
import { s } from "./dom.js";

/** @import { CourtLines, Place, Point } from "../types.js" */

const TEXT_M = 0.46;
const LETTER_EM = 0.54;
const OFFSET_M = 0.8;
const SPOT_M = 0.14;
const ENOUGH_M = 0.6;

/**
 * @param {Point} point
 * @param {CourtLines} court
 * @returns {Point} the same place on the drawing, whose y starts at the end line
 */
export function onDrawing([x, y], court) {
  return [x, y - court.end_line_y_m];
}

/**
 * Small crosses where a figure would snap, a ring round the one it is on.
 * @param {CourtLines} court
 * @param {Place} at
 */
export function spotMarks(court, at) {
  const marks = Object.values(court.spots).map((spot) => {
    const [x, y] = onDrawing(spot, court);
    return s("path", { d: `M${x - SPOT_M} ${y}h${2 * SPOT_M}M${x} ${y - SPOT_M}v${2 * SPOT_M}` });
  });
  if (typeof at === "string" && at in court.spots) {
    const [cx, cy] = onDrawing(placeM(court.spots, at), court);
    marks.push(s("circle", { cx, cy, r: 0.62 }));
  }
  return s("g", { class: "spots" }, ...marks);
}

/**
 * The gap between two figures as a dimension line, on the side where its words are clearer of names and figures.
 * @param {Point} from metres on the drawing
 * @param {Point} to
 * @param {{ feet: boolean, scale: number, taken?: Point[] }} look
 * @param {string} [what] what is measured; nothing where that is plain
 */
export function gapMark(from, to, { feet, scale, taken = [] }, what = " gap") {
  const gap_m = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (gap_m < 0.05) return s("g");
  const words = lengthText(gap_m, feet) + what;
  const size_m = TEXT_M * scale;
  const wide_m = words.length * LETTER_EM * size_m;
  const outward = from[0] * to[1] - to[0] * from[1] >= 0 ? 1 : -1;
  const [shape] = [outward, -outward]
    .map((side) => dimension(from, to, side * OFFSET_M * scale, wide_m, size_m))
    .sort((one, other) => roomOf(other, taken, wide_m, size_m) - roomOf(one, taken, wide_m, size_m));
  const stroke = (/** @type {[Point, Point]} */ [a, b], /** @type {string} */ kind) =>
    s("path", { d: `M${a}L${b}`, class: kind });
  return s(
    "g",
    { class: "dimension" },
    ...shape.extensions.map((line) => stroke(line, "extension")),
    stroke(shape.line, "measure"),
    ...shape.heads.map((corners) => s("path", { d: `M${corners.join("L")}Z`, class: "head" })),
    boardLabel(shape.words, words),
  );
}

/**
 * How clear a dimension line and its words are of what is there; enough is enough.
 * @param {ReturnType<typeof dimension>} shape
 * @param {Point[]} taken
 * @param {number} wide_m
 * @param {number} high_m
 */
function roomOf({ line: [one, other], words }, taken, wide_m, high_m) {
  const middle = [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2];
  const rooms_m = taken.map(([x, y]) => {
    const aside = Math.hypot(Math.max(0, Math.abs(x - words[0]) - wide_m / 2), Math.max(0, Math.abs(y - words[1]) - high_m / 2));
    return Math.min(aside, Math.hypot(x - middle[0], y - middle[1]));
  });
  return Math.min(ENOUGH_M, ...rooms_m);
}

/**
 * @param {Point} at
 * @param {string} words
 */
export function boardLabel([x, y], words) {
  const lowered = y + 0.33 * TEXT_M;
  return s(
    "text",
    {
      class: "label",
      transform: `translate(${x} ${lowered}) scale(0.01)`,
      "font-size": TEXT_M * 100,
      "text-anchor": "middle",
    },
    words,
  );
}

const FOOT_M = 0.3048;

export const FOOT_STRIP_M = 0.25;

/**
 * At the foot of the drawing: a bar of true length, and whose lines these are.
 * @param {{ x: number, y: number, width: number, height: number }} box
 * @param {string} court
 * @param {{ feet: boolean, scale: number }} look
 */
export function ruleBar(box, court, { feet, scale }) {
  const [unit_m, marks, name] = feet ? [5 * FOOT_M, [0, 5, 10], "ft"] : [1, [0, 1, 2, 3], "m"];
  const left = box.x + 0.5;
  const y = box.y + box.height - 0.1;
  const ticks = marks.map((_, index) => `M${left + index * unit_m} ${y - 0.14}v0.14`).join("");
  const text = (/** @type {number} */ x, /** @type {string} */ words, /** @type {string} */ anchor) =>
    s(
      "text",
      { transform: `translate(${x} ${y - 0.06}) scale(0.01)`, "font-size": 28 * scale, "text-anchor": anchor },
      words,
    );
  return s(
    "g",
    { class: "rule-bar" },
    s("path", { d: `M${left} ${y}h${(marks.length - 1) * unit_m}${ticks}` }),
    ...marks.map((mark, index) =>
      text(left + index * unit_m + 0.07, index === marks.length - 1 ? `${mark} ${name}` : String(mark), "start"),
    ),
    text(box.x + box.width - 0.5, `${court} lines, to scale`, "end"),
  );
}
