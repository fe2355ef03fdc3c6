/** What can be laid on the board: gaps as dimension lines, passing lanes with their risk, and a drive being played. */

import { gapsOf } from "../model/moment.js";
import { meanText } from "../model/numbers.js";
import { s } from "./dom.js";
import { boardLabel, gapMark, onDrawing } from "./overlay.js";

/** @import { CourtLines, PassTo, Point } from "../types.js" */

/** @typedef {{ feet: boolean, scale: number, taken?: Point[] }} Look */

const FIGURE_M = 0.42;
const CLEAR_M = 0.5; // a lane starts and ends beside its figures, not under them
const BALL_M = 0.15;
const WORDS_AT = 0.56; // of a lane, from the ball
const WORDS_M = 0.55; // from the middle of a lane's words to where they are half over

/**
 * From every attacker to the defender nearest to him.
 * @param {Map<string, Point>} places
 * @param {CourtLines} court
 * @param {Look} look
 */
export function gapLayer(places, court, look) {
  const at = (/** @type {string} */ figure) => onDrawing(/** @type {Point} */ (places.get(figure)), court);
  const marks = gapsOf(places).map(([attacker, defender]) => gapMark(at(attacker), at(defender), look, ""));
  return s("g", { class: "gaps" }, ...marks);
}

/**
 * From the ball to every mate: a pale lane, a thin dashed line, and how often a pass through it is lost.
 * @param {Map<string, Point>} places
 * @param {CourtLines} court
 * @param {{ holder: string, passes: PassTo[] }} reading
 * @param {Look} look
 */
export function laneLayer(places, court, { holder, passes }, look) {
  const from = places.get(holder);
  const lanes = passes.map((pass) => {
    const to = places.get(pass.to);
    return from && to ? lane(onDrawing(from, court), onDrawing(to, court), meanText(pass.risk), look) : null;
  });
  return s("g", { class: "lanes" }, ...lanes);
}

/**
 * Where the words of the lanes stand, so that nothing else is written there.
 * @param {Map<string, Point>} places
 * @param {CourtLines} court
 * @param {{ holder: string, passes: PassTo[] }} reading
 * @returns {Point[]}
 */
export function laneWords(places, court, { holder, passes }) {
  const from = places.get(holder);
  const ends = passes.map((pass) => places.get(pass.to));
  return ends.flatMap((to) => {
    if (!from || !to) return [];
    const [x, y] = onDrawing(/** @type {Point} */ ([0, 1].map((axis) => from[axis] + (to[axis] - from[axis]) * WORDS_AT)), court);
    return [-WORDS_M, 0, WORDS_M].map((aside) => /** @type {Point} */ ([x + aside, y]));
  });
}

/**
 * @param {Point} from
 * @param {Point} to
 * @param {string} risk
 * @param {Look} look
 */
function lane(from, to, risk, { scale }) {
  const length_m = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const clear_m = CLEAR_M * scale;
  if (length_m < 3 * clear_m) return null;
  const at = (/** @type {number} */ along_m) =>
    /** @type {Point} */ ([0, 1].map((axis) => from[axis] + ((to[axis] - from[axis]) * along_m) / length_m));
  const d = `M${at(clear_m)}L${at(length_m - clear_m)}`;
  const words = risk === "–" ? "not said" : `${risk} lost`;
  return s(
    "g",
    { class: "lane" },
    s("path", { class: "band", d }),
    s("path", { class: "way", d }),
    boardLabel(at(length_m * WORDS_AT), words),
  );
}

/**
 * The ball and the gap while a drive is played.
 * @param {{ places: Map<string, Point>, ball: Point, gap: [string, string] | null }} played
 * @param {CourtLines} court
 * @param {Look} look
 */
export function playedLayer({ places, ball, gap }, court, look) {
  const [cx, cy] = onDrawing(ball, court);
  const [one, other] = (gap ?? []).map((figure) => places.get(figure));
  const mark = one && other ? gapMark(onDrawing(one, court), onDrawing(other, court), look, "") : null;
  return s("g", { class: "played-marks" }, mark, s("circle", { class: "ball", cx, cy, r: BALL_M * look.scale }));
}

/**
 * The ball is held beside its figure, as the drawing has it, not on its number.
 * @param {Point} ball
 * @param {Point} holder
 * @param {number} scale
 * @returns {Point}
 */
export function besideFigure(ball, holder, scale) {
  const near_m = FIGURE_M * scale;
  const gap_m = Math.hypot(ball[0] - holder[0], ball[1] - holder[1]);
  return gap_m < near_m ? [holder[0] - 0.8 * near_m, holder[1] - 0.8 * near_m] : ball;
}
