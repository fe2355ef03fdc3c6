/** Moments: the start of a game as one, who answers for whom, and how a figure moves. */

import { guardsOf, kindOf } from "./game.js";
import { distanceM } from "./geometry.js";

/** @import { Game, MomentDocument, MomentFigure, Point } from "../types.js" */

export const MOST_M_PER_S = 9;
const ALIKE_RAD = 0.06; // three degrees: a way this near to a figure's is towards it

/**
 * Everyone still, the ball just caught.
 * @param {Game} game
 * @param {Map<string, Point>} places where the figures stand now, in metres
 * @returns {MomentDocument}
 */
export function startAsMoment(game, places) {
  const guards = guardsOf(game);
  /** @type {MomentFigure[]} */
  const figures = [...places]
    .filter(([figure]) => kindOf(figure) !== "coach")
    .map(([figure, at]) => ({ figure, at, moving_m_per_s: [0, 0], guards: guards.get(figure) ?? null }));
  const ball = game.start.ball === "C" ? (game.entry.to ?? "1") : game.start.ball;
  return { format: "courtwright.moment/1", name: "the start", cue: "", court: game.court, figures, ball, held_s: 0 };
}

/**
 * What a reading needs of a game: its points. Words, and forms that may not fit, must not stand in the way.
 * @param {Game} game
 * @returns {Game}
 */
export function readable(game) {
  const wordless = { name: "a game", purpose: "", question: "", cues: [], cautions: [] };
  return { ...game, ...wordless, easier: [], harder: [], forms: [] };
}

/**
 * @param {MomentDocument} moment
 * @param {string} figure
 * @param {Partial<MomentFigure>} change
 * @returns {MomentDocument}
 */
export function withFigure(moment, figure, change) {
  return {
    ...moment,
    figures: moment.figures.map((item) => (item.figure === figure ? { ...item, ...change } : item)),
  };
}

/**
 * Whom a figure's gap is measured to: a defender's attacker, an attacker's nearest defender.
 * @param {MomentDocument} moment
 * @param {Map<string, Point>} places
 * @param {string} figure
 * @returns {string | null}
 */
export function answersFor(moment, places, figure) {
  const defends = kindOf(figure) === "defender";
  const said = defends ? moment.figures.find((item) => item.figure === figure)?.guards : null;
  if (said) return said;
  if (defends && places.has(figure.slice(1))) return figure.slice(1);
  return nearest(places, figure, defends ? "attack" : "defence");
}

/**
 * @param {Map<string, Point>} places
 * @param {string} figure
 * @param {"attack" | "defence"} side
 */
export function nearest(places, figure, side) {
  const here = places.get(figure);
  if (!here) return null;
  const others = [...places].filter(([other]) => other !== figure && sideOf(other) === side);
  const [best] = others.sort((one, two) => distanceM(one[1], here) - distanceM(two[1], here));
  return best ? best[0] : null;
}

/** @param {string} figure */
export function sideOf(figure) {
  const kind = kindOf(figure);
  return kind === "coach" ? null : kind === "defender" ? "defence" : "attack";
}

/**
 * Every attacker with the defender nearest to him.
 * @param {Map<string, Point>} places
 * @returns {[string, string][]}
 */
export function gapsOf(places) {
  return [...places.keys()]
    .filter((figure) => sideOf(figure) === "attack")
    .map((figure) => [figure, nearest(places, figure, "defence") ?? ""])
    .filter((pair) => pair[1] !== "")
    .map(([one, other]) => /** @type {[string, string]} */ ([one, other]));
}

/** @param {Point} moving_m_per_s */
export function speedOf([x, y]) {
  return Math.hypot(x, y);
}

/**
 * Where a figure may be said to run: to the ring, or to any other figure.
 * @param {Map<string, Point>} places
 * @param {string} figure
 * @returns {Map<string, Point>} the name of each target with its place
 */
export function targetsOf(places, figure) {
  const others = [...places].filter(([other]) => other !== figure && kindOf(other) !== "coach");
  return new Map([["the ring", /** @type {Point} */ ([0, 0])], ...others]);
}

/**
 * Which target a figure runs at; nothing where it stands, `as it is` where it runs at none of them.
 * @param {Map<string, Point>} places
 * @param {MomentFigure} item
 */
export function runsAt(places, { figure, moving_m_per_s }) {
  const here = places.get(figure);
  if (!here || speedOf(moving_m_per_s) < 0.005) return "";
  const angle = Math.atan2(moving_m_per_s[1], moving_m_per_s[0]);
  for (const [name, there] of targetsOf(places, figure)) {
    const way = Math.atan2(there[1] - here[1], there[0] - here[0]);
    if (Math.abs(Math.atan2(Math.sin(way - angle), Math.cos(way - angle))) < ALIKE_RAD) return name;
  }
  return "as it is";
}

/**
 * @param {Point} from
 * @param {Point} to
 * @param {number} speed_m_per_s
 * @returns {Point} to the centimetre a second
 */
export function movingAt(from, to, speed_m_per_s) {
  const length_m = distanceM(from, to);
  if (length_m < 0.01) return [0, 0];
  const part = (/** @type {number} */ along) => Math.round(((along * speed_m_per_s) / length_m) * 100) / 100 + 0;
  return [part(to[0] - from[0]), part(to[1] - from[1])];
}

/**
 * The same way at another speed; a figure that stood still goes towards its own man, or the ring.
 * @param {Map<string, Point>} places
 * @param {MomentFigure} item
 * @param {number} speed_m_per_s
 * @returns {Point}
 */
export function withSpeed(places, item, speed_m_per_s) {
  const here = places.get(item.figure);
  if (!here || speed_m_per_s === 0) return [0, 0];
  const [x, y] = item.moving_m_per_s;
  if (speedOf([x, y]) > 0.005) return movingAt([0, 0], [x, y], speed_m_per_s);
  return movingAt(here, places.get(item.guards ?? "") ?? [0, 0], speed_m_per_s);
}

/**
 * How much of the floor each side is first to.
 * @param {{ figures: string[], owner: number[] }} map
 */
export function floorShares({ figures, owner }) {
  const defended = owner.filter((index) => figures[index].startsWith("X")).length;
  return { defence: defended / owner.length, offence: 1 - defended / owner.length };
}
