/**
 * Where in the forms a problem belongs. Problems of reading count (`start, placement 3, at`), problems of sense
 * name (`start, figure X1`, `constraint “dribbles”, limit`, `form for 6 players`); fields count.
 */

/** @import { Game } from "../types.js" */

/** @typedef {(game: Game, name: string) => string | null} Count */

/** @type {[RegExp, Count][]} */
const NAMED = [
  [
    /^start, figures? (\w+)( and \w+)?/,
    (game, name) => at(game.start.placements, (item) => item.figure === name, "start, placement"),
  ],
  [
    /^start, variant “(.*?)”.*/,
    (game, name) => at(game.start.variants, (item) => item.name === name, "start, variant"),
  ],
  [/^constraint “(.*?)”/, (game, name) => at(game.constraints, (item) => item.rule === name, "constraint")],
  [/^point rule “(.*?)”/, (game, name) => at(game.points, (item) => item.rule === name, "point rule")],
  [/^form for (\d+) players/, (game, name) => at(game.forms, (item) => Number(item.players) === Number(name), "form")],
];

/**
 * @template T
 * @param {readonly T[]} items
 * @param {(item: T) => boolean} meant
 * @param {string} word
 */
function at(items, meant, word) {
  const index = items.findIndex(meant);
  return index < 0 ? null : `${word} ${index + 1}`;
}

/**
 * @param {Game} game
 * @param {string} place as the server says it
 * @returns {string} as the fields are marked
 */
export function countedPlace(game, place) {
  for (const [pattern, count] of NAMED) {
    const found = pattern.exec(place);
    const counted = found && count(game, found[1]);
    if (found && counted) return place.replace(found[0], counted);
  }
  return place;
}
