/** Who stands where in a turn: the rota, who has gone or come since, and who was put in by hand. Twin of `live/lineup.py`. */

/** @import { TurnRow } from "../types.js" */

const GONE = new Set(["away", "late"]);
const NOBODY = "";

/** The players at the figures in one turn, and who is off. */
export class OnFloor {
  /**
   * @param {Record<string, string>} figures
   * @param {string[]} off
   * @param {number} offenceTeam
   * @param {number} defenceTeam
   */
  constructor(figures, off, offenceTeam, defenceTeam) {
    this.figures = figures;
    this.off = off;
    this.offenceTeam = offenceTeam;
    this.defenceTeam = defenceTeam;
  }

  /**
   * Stand a player at a figure; whoever stood there takes the player's place.
   * @param {string} figure
   * @param {string} player
   */
  put(figure, player) {
    const before = this.figures[figure];
    if (before === undefined || before === player) return;
    const other = Object.keys(this.figures).find((name) => this.figures[name] === player);
    const at = this.off.indexOf(player);
    if (other !== undefined) this.figures[other] = before;
    else if (at >= 0) this.off[at] = before;
    else if (before) this.off.push(before);
    this.off = this.off.filter((name) => name);
    this.figures[figure] = player;
  }

  /**
   * The players of a side.
   * @param {string} side
   * @returns {string[]}
   */
  side(side) {
    const defends = side === "defence";
    return Object.entries(this.figures)
      .filter(([figure, name]) => name && figure.startsWith("X") === defends)
      .map(([, name]) => name);
  }

  toJSON() {
    const { figures, off, offenceTeam, defenceTeam } = this;
    return { figures, off, offence_team: offenceTeam, defence_team: defenceTeam };
  }
}

/** The turns in force and the attendance. */
export class Lineup {
  /** @type {Map<string, string>} */ attendance = new Map();
  /** @type {Map<number, TurnRow>} rows of turns that the turn before decided */ #decided = new Map();
  /** @type {[number, TurnRow[]][]} with the turn that the first row stands for, in order */ #plans;

  /** @param {TurnRow[]} turns */
  constructor(turns) {
    this.#plans = [[0, turns]];
  }

  /**
   * Who plays in a turn by how the one before it ended.
   * @param {number} turn
   * @param {TurnRow} row
   */
  decide(turn, row) {
    this.#decided.set(turn, row);
  }

  /**
   * New turns from this one on.
   * @param {TurnRow[]} turns
   * @param {number} turn
   */
  replan(turns, turn) {
    this.#plans = [...this.#plans.filter(([first]) => first < turn), [turn, turns]];
    for (const at of [...this.#decided.keys()]) if (at >= turn) this.#decided.delete(at);
  }

  /**
   * Who stands where: a player who is not here is replaced by the first who is off.
   * @param {number} turn
   * @returns {OnFloor}
   */
  at(turn) {
    const [first, turns] = this.#plans.filter(([from]) => from <= turn).at(-1) ?? [0, []];
    return this.filled(this.#decided.get(turn) ?? /** @type {TurnRow} */ (turns[(turn - first) % turns.length]));
  }

  /**
   * A row with those who are here.
   * @param {TurnRow} row
   * @returns {OnFloor}
   */
  filled(row) {
    const figures = { ...row.figures };
    const off = row.off ?? [];
    const known = new Set([...Object.values(figures), ...off]);
    const waiting = [
      ...off.filter((name) => this.#here(name)),
      ...[...this.attendance.keys()].filter((name) => this.#here(name) && !known.has(name)),
    ];
    for (const figure of Object.keys(figures).sort())
      if (!this.#here(figures[figure] ?? NOBODY)) figures[figure] = waiting.shift() ?? NOBODY;
    return new OnFloor(figures, waiting, row.offence_team ?? -1, row.defence_team ?? -1);
  }

  /** @param {string} name */
  #here(name) {
    return !GONE.has(this.attendance.get(name) ?? "here");
  }
}
