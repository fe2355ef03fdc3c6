/** The start of a game as a moment, for the reading: everyone still, the ball just caught. */

import { guardsOf, kindOf } from "./game.js";

/** @import { Game, MomentDocument, Point } from "../types.js" */

/**
 * @param {Game} game
 * @param {Map<string, Point>} places where the figures stand now, in metres
 * @returns {MomentDocument}
 */
export function startAsMoment(game, places) {
  const guards = guardsOf(game);
  const figures = [...places]
    .filter(([figure]) => kindOf(figure) !== "coach")
    .map(([figure, at]) => ({ figure, at, guards: guards.get(figure) ?? null }));
  const ball = game.start.ball === "C" ? (game.entry.to ?? "1") : game.start.ball;
  return { format: "courtwright.moment/1", name: game.name || "start", court: game.court, figures, ball };
}

/**
 * How much of the floor each side is first to.
 * @param {{ figures: string[], owner: number[] }} map
 */
export function floorShares({ figures, owner }) {
  const defended = owner.filter((index) => figures[index].startsWith("X")).length;
  return { defence: defended / owner.length, offence: 1 - defended / owner.length };
}
