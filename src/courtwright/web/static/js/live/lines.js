/** Rules by which who wins decides who plays next: winners stay, losers off. Twin of `live/lines.py`. */

/** @import { TurnRow } from "../types.js" */
/** @import { OnFloor } from "./lineup.js" */

const WINNERS_STAY = "winners stay";
export const BY_RESULT = new Set([WINNERS_STAY, "losers off"]);
const NOBODY = "";

/**
 * The turn after one that was won: losers go to the end of the line, the first in it come on.
 * @param {OnFloor} floor
 * @param {boolean} attackWon
 * @param {string} rule
 * @param {string[][]} teams
 * @returns {TurnRow}
 */
export function nextRow(floor, attackWon, rule, teams) {
  const winners = side(floor, !attackWon);
  const losers = side(floor, attackWon);
  const stays = attackWon ? floor.offenceTeam : floor.defenceTeam;
  const [comes, coming] = comingOn(floor, losers, stays, teams);
  const bench = floor.off.filter((name) => stays >= 0 && teams[stays]?.includes(name));
  const staying = [...bench, ...winners.slice(1), ...winners.slice(0, 1)];
  const size = winners.length;
  const line = [...floor.off, ...losers].filter((name) => !coming.includes(name) && !bench.includes(name));
  const off = comes < 0 ? [...line, ...staying.slice(size)] : [...line, ...coming.slice(size), ...staying.slice(size)];
  /** @type {Side} */ const kept = [stays, staying.slice(0, size)];
  /** @type {Side} */ const fresh = [comes, coming.slice(0, size)];
  return rule === WINNERS_STAY ? rowOf(floor, kept, fresh, off) : rowOf(floor, fresh, kept, off);
}

/**
 * What is known of the next turn while nobody has won yet: who comes on. Who stays is nobody yet.
 * @param {OnFloor} floor
 * @param {string} rule
 * @param {string[][]} teams
 * @returns {TurnRow}
 */
export function rowInView(floor, rule, teams) {
  let known = floor.off;
  let comes = -1;
  if (teams.length) {
    const on = [floor.offenceTeam, floor.defenceTeam];
    comes = teamsOf(floor.off, teams).find((at) => !on.includes(at)) ?? -1;
    known = floor.off.filter((name) => comes >= 0 && teams[comes]?.includes(name));
  }
  const size = side(floor, false).length;
  const coming = Array.from({ length: size }, (_, at) => known[at] ?? NOBODY);
  /** @type {Side} */ const kept = [-1, Array(size).fill(NOBODY)];
  /** @type {Side} */ const fresh = [comes, coming];
  const off = floor.off.filter((name) => !coming.includes(name));
  return rule === WINNERS_STAY ? rowOf(floor, kept, fresh, off) : rowOf(floor, fresh, kept, off);
}

/** @typedef {[number, string[]]} Side a team, −1 for none, and its players in the order of the figures */

/** @param {OnFloor} floor @param {boolean} defends */
function side(floor, defends) {
  return Object.entries(floor.figures)
    .filter(([figure]) => figure.startsWith("X") === defends)
    .map(([, name]) => name);
}

/**
 * The team of each of some players, in their order.
 * @param {string[]} names
 * @param {string[][]} teams
 */
function teamsOf(names, teams) {
  return names.flatMap((name) => teams.flatMap((team, at) => (team.includes(name) ? [at] : [])));
}

/**
 * The next team, or −1, and who comes on of it, in order.
 * @param {OnFloor} floor
 * @param {string[]} losers
 * @param {number} stays
 * @param {string[][]} teams
 * @returns {Side}
 */
function comingOn(floor, losers, stays, teams) {
  const line = [...floor.off, ...losers.filter((name) => name)];
  if (!teams.length) return [-1, line.slice(0, losers.length)];
  const lost = stays === floor.offenceTeam ? floor.defenceTeam : floor.offenceTeam;
  const comes = teamsOf(line, teams).find((at) => at !== stays && at !== lost) ?? lost;
  return [comes, line.filter((name) => teams[comes]?.includes(name))];
}

/**
 * @param {OnFloor} floor
 * @param {Side} attack
 * @param {Side} defence
 * @param {string[]} off
 * @returns {TurnRow}
 */
function rowOf(floor, [offenceTeam, attackers], [defenceTeam, defenders], off) {
  const names = { false: [...attackers], true: [...defenders] };
  const figures = Object.fromEntries(
    Object.keys(floor.figures).map((figure) => [figure, names[figure.startsWith("X") ? "true" : "false"].shift() ?? NOBODY]),
  );
  return { figures, off, offence_team: offenceTeam, defence_team: defenceTeam };
}
