/** Changes to a game that bring along what hangs on them: sides, court, entry, starts; and an empty game. */

import { attackersOf, figuresOf, guardsOf, placedM, placement } from "./game.js";
import { keptOnFloor, placeM, roundedCm } from "./geometry.js";
import { setAt } from "./path.js";

/** @import { CourtLines, Game, Place, Placement, Point, Sides, Variant } from "../types.js" */

const ATTACK_SPOTS = ["left slot", "right corner", "left corner", "right wing", "top", "right slot", "left wing"];
const GUARD_M = 1.4; // an arm and a step: where a defender is put until the coach says otherwise

/**
 * Change the sides: new figures get a sensible place, figures that leave take their words with them.
 * @param {Game} game
 * @param {CourtLines} court
 * @param {Partial<Sides>} change
 * @returns {Game}
 */
export function withSides(game, court, change) {
  const sides = { ...game.sides, ...change };
  const figures = figuresOf(sides);
  const attackers = attackersOf(sides);
  const kept = game.start.placements
    .filter((item) => figures.includes(item.figure))
    .map((item) => (item.guards && !attackers.includes(item.guards) ? { ...item, guards: null } : item));
  const next = withoutStrangers({ ...game, sides, start: { ...game.start, placements: kept } }, figures, attackers);
  return figures.reduce((grown, figure) => withFigurePlaced(grown, court, figure), next);
}

/**
 * @param {Game} game
 * @param {string[]} figures
 * @param {string[]} attackers
 * @returns {Game}
 */
function withoutStrangers(game, figures, attackers) {
  const variants = game.start.variants.map((variant) => ({
    ...variant,
    placements: variant.placements.filter((item) => figures.includes(item.figure)),
  }));
  const ballKept = figures.includes(game.start.ball) && !game.start.ball.startsWith("X");
  const noFeeder = game.entry.kind === "coach feeds" && !game.sides.coach;
  const entry = {
    ...game.entry,
    kind: noFeeder ? "none" : game.entry.kind,
    to: game.entry.to && attackers.includes(game.entry.to) ? game.entry.to : null,
  };
  return {
    ...game,
    entry,
    live: noFeeder && game.live === "entry done" ? "start" : game.live,
    start: { ...game.start, variants, ball: ballKept ? game.start.ball : "1" },
    constraints: game.constraints.filter((item) => !item.figure || figures.includes(item.figure)),
  };
}

/**
 * @param {Game} game
 * @param {CourtLines} court
 * @param {string} figure
 * @returns {Game}
 */
function withFigurePlaced(game, court, figure) {
  if (game.start.placements.some((item) => item.figure === figure)) return game;
  const at = freePlace(game, court, figure);
  return setAt(game, ["start", "placements"], [...game.start.placements, placement(figure, at)]);
}

/**
 * @param {Game} game
 * @param {CourtLines} court
 * @param {string} figure
 * @returns {Place}
 */
function freePlace(game, court, figure) {
  const places = placedM(game, court);
  const taken = [null, ...game.start.variants.keys()].flatMap((variant) => [...placedM(game, court, variant).values()]);
  const free = (/** @type {Point} */ point) =>
    taken.every((at) => Math.hypot(at[0] - point[0], at[1] - point[1]) > 0.8);
  const man = guardsOf(game).get(figure);
  const manAt = man ? places.get(man) : undefined;
  /** @type {Point[]} */
  const tries = manAt ? besideM(manAt) : figure === "C" ? [[0, court.far_y_m - 1.5]] : [];
  const near = tries.find(free);
  if (near) return roundedCm(keptOnFloor(court, near));
  const spot = ATTACK_SPOTS.find((name) => name in court.spots && free(placeM(court.spots, name)));
  return spot ?? roundedCm(aisle(court).find(free) ?? [0, court.far_y_m - 3]);
}

/**
 * Places behind the arc, for when every spot is taken.
 * @param {CourtLines} court
 * @returns {Point[]}
 */
function aisle(court) {
  return [0, -2, 2, -4, 4, -6, 6].map((x) => [x, court.far_y_m - 3.5]);
}

/**
 * Places for a defender: between the attacker and the ring, then to either side.
 * @param {Point} man
 * @returns {Point[]}
 */
function besideM([x, y]) {
  const toRing = Math.atan2(-y, -x);
  return [0, 0.9, -0.9, 1.8, -1.8].map((turn) => [
    x + GUARD_M * Math.cos(toRing + turn),
    y + GUARD_M * Math.sin(toRing + turn),
  ]);
}

/**
 * Play on another court: figures that would stand outside step in.
 * @param {Game} game
 * @param {string} rules
 * @param {CourtLines} court
 * @returns {Game}
 */
export function withCourt(game, rules, court) {
  const inside = (/** @type {Placement} */ item) =>
    typeof item.at === "string" || item.figure === "C" ? item : { ...item, at: roundedCm(keptOnFloor(court, item.at)) };
  const variants = game.start.variants.map((variant) => ({ ...variant, placements: variant.placements.map(inside) }));
  const start = { ...game.start, placements: game.start.placements.map(inside), variants };
  return { ...game, court: rules, start };
}

/**
 * Add another start: the mirror image, or one in which the last attacker stands elsewhere, to go on from.
 * @param {Game} game
 * @param {CourtLines} court
 * @param {boolean} mirror
 * @returns {Game}
 */
export function withVariant(game, court, mirror) {
  const mover = attackersOf(game.sides).at(-1) ?? "1";
  const placements = mirror ? [] : [placement(mover, freePlace(game, court, mover))];
  /** @type {Variant} */
  const variant = {
    name: mirror ? "mirror image" : `start ${game.start.variants.length + 2}`,
    weight: 1,
    mirror,
    placements,
  };
  return setAt(game, ["start", "variants"], [...game.start.variants, variant]);
}

/**
 * Choose what happens first, and bring what hangs on it along: the passes, who has the ball, who gets it, what is said.
 * @param {Game} game
 * @param {string} kind
 * @returns {Game}
 */
export function withEntry(game, kind) {
  const fed = kind === "coach feeds" && game.sides.coach;
  const moves = kind === "passes" || kind === "coach feeds";
  const entry = {
    kind,
    passes: kind === "passes" ? Math.max(1, Number(game.entry.passes) || 1) : 0,
    to: moves ? game.entry.to : null,
    say: game.entry.say || (kind === "cue" ? "go" : ""),
  };
  const ball = fed ? "C" : game.start.ball === "C" ? "1" : game.start.ball;
  const live = kind === "none" && game.live === "entry done" ? "start" : game.live;
  return { ...game, entry, live, start: { ...game.start, ball } };
}

/**
 * An empty game to begin from.
 * @param {CourtLines} court
 * @param {string} rules
 * @returns {Game}
 */
export function emptyGame(court, rules) {
  /** @type {Game} */
  const bare = {
    format: "courtwright.game/1",
    name: "New game",
    purpose: "",
    court: rules,
    sides: { offence: 0, defence: 0, neutral: 0, coach: false },
    start: { placements: [], ball: "1", variants: [] },
    entry: { kind: "none", passes: 0, to: null, say: "" },
    live: "start",
    help: "when beaten",
    constraints: [],
    points: [{ rule: "basket by the court", points: 1, to: null }],
    ending: {
      make: "possession ends",
      offensive_rebound: "play on",
      defensive_rebound: "possession ends",
      foul: "again from the start",
      defence_must: "nothing",
      reset_s: 9,
    },
    rota: { rule: "defend, attack, off", teams: "mixed" },
    finish: { minutes: 10, points: null },
    cues: [],
    question: "",
    easier: [],
    harder: [],
    forms: [],
    cautions: [],
  };
  return withSides(bare, court, { offence: 3, defence: 3 });
}
