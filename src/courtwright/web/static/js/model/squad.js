/** What can be done to a squad. Every function gives a new squad and leaves the old one alone. */

/** @import { Player, Squad } from "../types.js" */

/** @type {Squad} */
export const EMPTY_SQUAD = { format: "courtwright.squad/1", name: "My squad", level: "U16", players: [] };

/**
 * @param {Squad} squad
 * @returns {Squad}
 */
export function withNewPlayer(squad) {
  /** @type {Player} */
  const player = {
    name: newName(squad),
    number: null,
    height_cm: null,
    level: null,
    here: true,
    grade: null,
    splits_s: {},
    shooting: {},
  };
  return { ...squad, players: [...squad.players, player] };
}

/** @param {Squad} squad */
function newName({ players }) {
  const taken = new Set(players.map((player) => player.name));
  let number = players.length + 1;
  while (taken.has(`Player ${number}`)) number += 1;
  return `Player ${number}`;
}

/** @param {Squad} squad */
export function hereText({ players }) {
  const here = players.filter((player) => player.here).length;
  if (!players.length) return "nobody yet: add a player, or bring a list in";
  return here === players.length ? `${players.length} players, all here` : `${players.length} players, ${here} here`;
}

/**
 * What replacing one squad by another would do.
 * @param {Squad} now
 * @param {Squad} next
 */
export function replacementText(now, next) {
  const names = new Set(now.players.map((player) => player.name));
  const known = next.players.filter((player) => names.has(player.name)).length;
  const gone = now.players.length - known;
  return `${next.players.length} players read, ${known} of them in the squad now, ${next.players.length - known} new. ${gone} would leave.`;
}
