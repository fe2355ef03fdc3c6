/** The game in force: the one the run opened with, and every switch and change since. The twin of `live/force.py`. */

/** @import { Detail, Register, Worths } from "../types.js" */

export const AGAIN = "again";
export const POINT = "point to the other side";
export const NO_POINTS = "no points";
export const TURNOVER = "turnover";
export const OFFENCE = "offence";
export const DEFENCE = "defence";

/** A game as plain data. Every change makes new data, so that what was kept of it earlier stays as it was. */
export class InForce {
  said = "";

  /**
   * @param {any} game
   * @param {Register} register
   */
  constructor(game, register) {
    this.game = game;
    this.register = register;
    /** @type {Worths} */
    this.worths = worthsOf(game, register);
  }

  /** @param {Detail} detail another form takes over */
  change(detail) {
    this.said = detail.say ?? "";
    this.#take(detail.game);
  }

  /** @param {Detail} detail a constraint, a point rule or a distance goes on or off */
  switch(detail) {
    const { constraint, points, placement, on } = detail;
    if (constraint) {
      const constraints = switched(this.game.constraints ?? [], constraint, on, "figure");
      this.#take({ ...this.game, constraints });
    }
    if (points) this.#take({ ...this.game, points: switched(this.game.points ?? [], points, on, "to") });
    if (placement) {
      const { start } = this.game;
      const placements = start.placements.map((/** @type {any} */ item) =>
        item.figure === placement.figure ? { ...item, ...placement } : item,
      );
      this.#take({ ...this.game, start: { ...start, placements } });
    }
  }

  /** @param {any} game */
  #take(game) {
    this.game = game;
    this.worths = worthsOf(game, this.register);
  }

  /**
   * Whose breach a violation is, and what it costs.
   * @param {Detail} detail
   * @returns {[string, string]}
   */
  breach(detail) {
    const usual = this.register.constraints[detail.rule];
    const who = detail.who ?? "";
    const side = usual?.side ?? (who.startsWith("X") ? DEFENCE : OFFENCE);
    return [side, detail.cost || this.#cost(detail.rule, who) || usual?.cost || TURNOVER];
  }

  /**
   * The cost as the game names it; a limit of one's own goes before the whole side's.
   * @param {string} rule
   * @param {string} who
   * @returns {string}
   */
  #cost(rule, who) {
    const named = (this.game.constraints ?? []).filter(
      (/** @type {any} */ item) => item.rule === rule && item.cost && (item.figure == null || item.figure === who),
    );
    return (named.find((/** @type {any} */ item) => item.figure === who) ?? named[0])?.cost ?? "";
  }
}

/**
 * What each counted event brings each side.
 * @param {any} game
 * @param {Register} register
 * @returns {Worths}
 */
export function worthsOf(game, register) {
  /** @type {Worths} */
  const worths = { offence: {}, defence: {} };
  for (const rule of game.points ?? []) {
    const kind = register.points[rule.rule];
    if (!kind) continue;
    const side = worths[/** @type {"offence" | "defence"} */ (rule.to || kind.side)];
    for (const count of kind.counts) {
      const court = count === "make_three" ? register.outside_value : register.inside_value;
      side[count] = (side[count] ?? 0) + rule.points * (kind.by_court ? court : 1);
    }
  }
  return worths;
}

/**
 * The list with the item in its old place, at the end, or gone.
 * @param {any[]} items
 * @param {any} item
 * @param {boolean} on
 * @param {string} second what names it beside its rule
 */
function switched(items, item, on, second) {
  const at = items.findIndex((other) => other.rule === item.rule && (other[second] ?? null) === (item[second] ?? null));
  if (at < 0) return on ? [...items, item] : items;
  return [...items.slice(0, at), ...(on ? [item] : []), ...items.slice(at + 1)];
}
