/** Who stands where in a game document, and who answers for whom. Documents are never changed, only replaced. */

import { mirrored, placeM } from "./geometry.js";
import { setAt } from "./path.js";

/** @import { CourtLines, Game, Place, Placement, Point, Sides } from "../types.js" */

/**
 * Every figure that must be placed, in drawing order.
 * @param {Sides} sides
 */
export function figuresOf({ offence, defence, neutral, coach }) {
  const row = (/** @type {number} */ count, /** @type {string} */ prefix) =>
    Array.from({ length: Number(count) || 0 }, (_, index) => `${prefix}${index + 1}`);
  return [...row(offence, ""), ...row(neutral, "N"), ...row(defence, "X"), ...(coach ? ["C"] : [])];
}

/** @param {Sides} sides */
export function attackersOf(sides) {
  return figuresOf(sides).filter((figure) => !/^[XC]/.test(figure));
}

/**
 * @param {string} figure
 * @returns {"attacker" | "defender" | "neutral" | "coach"}
 */
export function kindOf(figure) {
  if (figure === "C") return "coach";
  if (figure.startsWith("X")) return "defender";
  return figure.startsWith("N") ? "neutral" : "attacker";
}

/**
 * Where each figure starts, in metres, in the plain start (`null`) or in one of the other starts.
 * @param {Game} game
 * @param {CourtLines} court
 * @param {number | null} [variant]
 * @returns {Map<string, Point>}
 */
export function placedM(game, court, variant = null) {
  const other = variant === null ? undefined : game.start.variants[variant];
  const places = new Map(game.start.placements.map((item) => [item.figure, item.at]));
  for (const item of other?.placements ?? []) places.set(item.figure, item.at);
  return new Map([...places].map(([figure, at]) => [figure, placeM(court.spots, other?.mirror ? mirrored(at) : at)]));
}

/**
 * Where a figure stands as the document says it, mirrored where the start is.
 * @param {Game} game
 * @param {number | null} variant
 * @param {string} figure
 * @returns {Place}
 */
export function placeOf(game, variant, figure) {
  const other = variant === null ? undefined : game.start.variants[variant];
  const own = other?.placements.find((item) => item.figure === figure);
  const at = (own ?? game.start.placements.find((item) => item.figure === figure))?.at ?? "";
  return other?.mirror ? mirrored(at) : at;
}

/**
 * Put a figure somewhere, in the plain start or in one of the other starts.
 * @param {Game} game
 * @param {number | null} variant
 * @param {string} figure
 * @param {Place} at as seen on the board
 * @returns {Game}
 */
export function withPlace(game, variant, figure, at) {
  const path = variant === null ? ["start", "placements"] : ["start", "variants", variant, "placements"];
  const other = variant === null ? undefined : game.start.variants[variant];
  const wanted = other?.mirror ? mirrored(at) : at;
  const list = other ? other.placements : game.start.placements;
  const held = list.some((item) => item.figure === figure);
  const moved = list.map((item) => (item.figure === figure ? { ...item, at: wanted } : item));
  return setAt(game, path, held ? moved : [...moved, placement(figure, wanted)]);
}

/**
 * @param {string} figure
 * @param {Place} at
 * @returns {Placement}
 */
export function placement(figure, at) {
  return { figure, at, vary_m: 0, guards: null };
}

/**
 * The attacker each defender answers for: as said, else of the same number, else the first.
 * @param {Game} game
 * @returns {Map<string, string>}
 */
export function guardsOf(game) {
  const attackers = attackersOf(game.sides);
  const said = new Map(game.start.placements.map((item) => [item.figure, item.guards]));
  return new Map(
    figuresOf(game.sides)
      .filter((figure) => figure.startsWith("X"))
      .map((figure) => {
        const sameNumber = figure.slice(1);
        return [figure, said.get(figure) ?? (attackers.includes(sameNumber) ? sameNumber : (attackers[0] ?? ""))];
      }),
  );
}

/**
 * Whom a figure's gap is measured to: a defender's attacker, an attacker's nearest defender.
 * @param {Game} game
 * @param {Map<string, Point>} places
 * @param {string} figure
 * @returns {string | null}
 */
export function opposite(game, places, figure) {
  const guards = guardsOf(game);
  if (guards.has(figure)) return guards.get(figure) ?? null;
  const here = places.get(figure);
  if (kindOf(figure) === "coach" || !here) return null;
  const own = [...guards].filter(([, attacker]) => attacker === figure).map(([defender]) => defender);
  const choice = own.length ? own : [...guards.keys()];
  const gap = (/** @type {string} */ defender) => {
    const there = places.get(defender);
    return there ? Math.hypot(there[0] - here[0], there[1] - here[1]) : Infinity;
  };
  return choice.reduce(
    (/** @type {string | null} */ best, next) => (best === null || gap(next) < gap(best) ? next : best),
    null,
  );
}

/**
 * What a drawing needs of a game: a form that does not fit must not keep the board from being drawn.
 * @param {Game} game
 * @param {number | null} variant
 */
export function drawable(game, variant) {
  const shown = variant === null ? [] : game.start.variants.slice(variant, variant + 1);
  const document = {
    format: game.format,
    name: game.name.trim() || "a game",
    court: game.court,
    sides: game.sides,
    start: { ...game.start, variants: shown },
    entry: game.entry,
    live: game.live,
  };
  return { document, variant: shown.length ? 0 : null };
}
