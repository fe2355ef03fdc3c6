/** From facts to the state of a run: a pure function, the twin of `live/fold.py`. One set of cases holds the two together. */

/** @import { Fact, Opening, RunState } from "../types.js" */

import { Call, PLAY, called } from "./calls.js";
import { clockOf } from "./clock.js";
import { corrected } from "./corrections.js";
import { InForce } from "./force.js";
import { Lineup } from "./lineup.js";
import { BY_RESULT, nextRow, rowInView } from "./lines.js";
import { Possession, SKIPPED } from "./possession.js";
import { Tally } from "./tally.js";

/**
 * The state of a run, whatever order the facts came in.
 * @param {Opening} opening
 * @param {Iterable<Fact>} facts
 * @returns {RunState}
 */
export function fold(opening, facts) {
  const told = corrected(facts);
  const run = new Run(opening, told);
  const held = told.filter((fact) => fact.kind !== "clock");
  /** @type {Map<string, Fact[]>} */
  const groups = new Map();
  for (const fact of held) {
    const key = `${fact.possession} ${insertedIn(fact)}`;
    const group = groups.get(key);
    if (group) group.push(fact);
    else groups.set(key, [fact]);
  }
  const places = [...groups.keys()].map((key) => /** @type {[number, number]} */ (key.split(" ").map(Number)));
  places.sort(([one, late], [other, later]) => one - other || late - later);
  for (const [number, inserted] of places) run.play(number, inserted, groups.get(`${number} ${inserted}`) ?? []);
  return run.state();
}

/** @param {Fact} fact */
function insertedIn({ kind, detail }) {
  return PLAY.has(kind) ? (detail.inserted ?? 0) : 0;
}

/** A run after the facts so far. */
class Run {
  /** @type {Possession[]} */ possessions = [];
  /** @type {any[]} */ claims = [];
  /** @type {Set<string>} */ tagging = new Set();
  /** @type {Record<string, any> | null} the last freeze, until play goes on */ freeze = null;
  /** @type {Possession | null} the latest possession, played or not */ last = null;

  /**
   * @param {Opening} opening
   * @param {Fact[]} told
   */
  constructor(opening, told) {
    this.opening = opening;
    this.clock = clockOf(told);
    this.force = new InForce(opening.game, opening.register);
    this.lineup = new Lineup(opening.turns);
    this.tally = new Tally(opening.teams.length);
  }

  /**
   * Fold the facts of one possession, which is later than all before.
   * @param {number} number
   * @param {number} inserted
   * @param {Fact[]} facts
   */
  play(number, inserted, facts) {
    const turn = this.nextTurn;
    const here = new Possession(number, turn, this.#start(number), this.lineup.at(turn));
    here.inserted = inserted;
    const watched = new Set(this.tagging);
    for (const item of called(facts)) {
      if (item instanceof Call) {
        this.freeze = null;
        here.take(item, this.force);
        this.tally.credit(item, here.floor);
      } else {
        this.#apply(item, here);
        for (const tag of this.tagging) watched.add(tag);
      }
    }
    this.last = here;
    if (!here.played) return;
    this.possessions.push(here);
    this.tally.settle(here, watched);
    this.#decideNext(here);
  }

  /** @param {Possession} here where who wins decides who plays: the next turn's players; the same where nobody won */
  #decideNext(here) {
    if (!BY_RESULT.has(this.rule) || here.again) return;
    const [won, lost] = /** @type {[number, number]} */ (this.tally.points.get(`${here.number} ${here.inserted}`));
    const row =
      here.result === SKIPPED
        ? here.floor.toJSON()
        : nextRow(here.floor, here.attackWon(won, lost), this.rule, this.opening.teams);
    this.lineup.decide(here.turn + 1, row);
  }

  /** Who plays next, by the game in force. */
  get rule() {
    return this.force.game.rota?.rule ?? "";
  }

  /** @param {Possession} now who plays after it, as far as it is known */
  #coming(now) {
    if (now.again) return this.lineup.at(now.turn);
    if (BY_RESULT.has(this.rule) && !now.over)
      return this.lineup.filled(rowInView(now.floor, this.rule, this.opening.teams));
    return this.lineup.at(now.turn + 1);
  }

  /** The turn of the possession after the latest: the same again where nothing was played or it goes again. */
  get nextTurn() {
    if (!this.last) return 0;
    return this.last.turn + (this.last.played && !this.last.again ? 1 : 0);
  }

  /** @param {number} number */
  #start(number) {
    const { starts } = this.opening;
    return /** @type {number} */ (starts[(number - 1) % starts.length]);
  }

  /**
   * @param {Fact} fact
   * @param {Possession} here
   */
  #apply({ kind, detail, event_id }, here) {
    if (kind === "constraint switched") this.force.switch(detail);
    else if (kind === "game changed") this.force.change(detail);
    else if (kind === "substitution") {
      here.putIn.push([detail.figure, detail.player]);
      here.floor.put(detail.figure, detail.player);
    } else if (kind === "attendance") {
      this.lineup.attendance.set(detail.player, detail.state);
      this.#lineUp(here);
    } else if (kind === "rota changed") {
      this.lineup.replan(detail.turns, here.turn + (here.touched ? 1 : 0));
      this.#lineUp(here);
    } else if (kind === "watching") {
      this.tagging.delete(detail.tag);
      if (detail.on) this.tagging.add(detail.tag);
    } else if (kind === "freeze") {
      this.freeze = { event: event_id, ...detail };
      here.freezes.push(this.freeze);
    } else if (kind === "run it again") {
      this.freeze = null;
      here.runAgain();
    } else if (kind === "possession") {
      this.freeze = null;
      here.skip();
    } else if (kind === "claim") {
      const logged = this.tally.scoreWith(here);
      const agrees = JSON.stringify(detail.score) === JSON.stringify(logged);
      this.claims.push({ event: event_id, possession: here.number, said: detail.score, logged, agrees });
    }
  }

  /** @param {Possession} here who stands where, anew; a possession that has begun keeps its players */
  #lineUp(here) {
    if (here.touched) return;
    here.floor = this.lineup.at(here.turn);
    for (const [figure, player] of here.putIn) here.floor.put(figure, player);
  }

  /** The possession that is being played, or comes next. */
  #current() {
    const ended = this.possessions.at(-1);
    if (ended && ended.endedIn >= 0 && ended.segmentOpen) return ended; // a frozen moment of it is being run again
    if (this.last && !this.last.over) return this.last;
    const number = this.last ? this.last.number + 1 : 1;
    return new Possession(number, this.nextTurn, this.#start(number), this.lineup.at(this.nextTurn));
  }

  get #over() {
    if (this.clock.ended) return "called";
    const toPoints = this.force.game.finish?.points;
    return toPoints && this.tally.best >= toPoints ? "score" : "";
  }

  /** @returns {RunState} */
  state() {
    const now = this.#current();
    const coming = now.again ? now.turn : now.turn + 1;
    return {
      run: this.opening.run,
      possession: now.number,
      turn: now.turn,
      start: now.start,
      ...now.floor.toJSON(),
      next: { ...this.#coming(now).toJSON(), turn: coming, start: this.#start(now.number + 1) },
      freeze: this.freeze,
      over: this.#over,
      clock: this.clock,
      game: this.force.game,
      said: this.force.said,
      attendance: Object.fromEntries(this.lineup.attendance),
      watching: [...this.tagging],
      claims: this.claims,
      ...this.tally.toJSON(),
      possessions: this.possessions.map((one) => this.#told(one)),
    };
  }

  /** @param {Possession} one */
  #told(one) {
    return {
      number: one.number,
      inserted: one.inserted,
      turn: one.turn,
      start: one.start,
      ...one.floor.toJSON(),
      result: one.result,
      again: one.again,
      stop: one.stopped,
      void: one.void,
      replays: one.segment,
      ended_in: one.endedIn,
      points: /** @type {[number, number]} */ (this.tally.points.get(`${one.number} ${one.inserted}`)),
      calls: one.calls.map((call) => call.toJSON()),
      unsettled: one.unsettled,
      freezes: one.freezes,
    };
  }
}
