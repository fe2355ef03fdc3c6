/** What is asked of a rota and what was found, kept over a reload of the page. */

import { problemsIn, request } from "../net/api.js";

/** @import { Problem, RotaAnswer, RotaAsked } from "../types.js" */

/** @typedef {{ asked: RotaAsked, answer: RotaAnswer | null }} Kept */

/** Tells “change” when there is something new to show. */
export class RotaState extends EventTarget {
  /** @type {RotaAnswer | null} */ answer = null;
  /** @type {Problem[]} */ problems = [];
  busy = false;
  /** @type {RotaAnswer[]} before each exchange */ #before = [];
  #asks = 0;

  /**
   * @param {string} game
   * @param {RotaAsked} asked
   */
  constructor(game, asked) {
    super();
    this.key = `rota ${game}`;
    this.asked = asked;
  }

  /** Take up what an earlier visit left; say whether there was anything. */
  restore() {
    try {
      /** @type {Kept | null} */
      const kept = JSON.parse(sessionStorage.getItem(this.key) ?? "null");
      if (!kept?.answer) return false;
      this.asked = kept.asked;
      this.answer = kept.answer;
      return true;
    } catch {
      return false;
    }
  }

  forget() {
    sessionStorage.removeItem(this.key);
  }

  /**
   * Ask for a rota anew.
   * @param {Partial<RotaAsked>} [change]
   * @param {boolean} [longer]
   */
  async plan(change = {}, longer = false) {
    this.asked = { ...this.asked, ...change };
    const ask = ++this.#asks;
    this.busy = true;
    this.#tell();
    const signal = AbortSignal.timeout(120_000);
    const answer = await request("POST", "/api/rotas", { json: { asked: this.asked, longer }, signal });
    if (ask !== this.#asks) return; // something was changed meanwhile
    this.busy = false;
    this.problems = problemsIn(answer);
    if (answer.ok) {
      this.answer = answer.body;
      this.#before = [];
    }
    this.#tell();
  }

  /**
   * Two players change places in a turn.
   * @param {number} turn
   * @param {string} one
   * @param {string} other
   */
  async exchange(turn, one, other) {
    const before = this.answer;
    if (!before) return;
    const { turns, teams } = before.rota;
    const json = { asked: this.asked, turns, teams, turn, one, other };
    const answer = await request("POST", "/api/rotas/exchange", { json });
    this.problems = problemsIn(answer);
    if (answer.ok) {
      this.#before.push(before);
      this.answer = { ...before, ...answer.body };
    }
    this.#tell();
  }

  get canUndo() {
    return this.#before.length > 0;
  }

  undo() {
    this.answer = this.#before.pop() ?? this.answer;
    this.#tell();
  }

  /** Turns that stand, in time. */
  get played() {
    return this.asked.played.length / this.asked.baskets;
  }

  /** @param {number} count turns in time that stand from now on */
  stand(count) {
    const rows = this.answer?.rota.turns.slice(0, count * this.asked.baskets) ?? [];
    return this.plan({ played: rows });
  }

  /** @param {string} name who comes: from the first turn that is open */
  comes(name) {
    const late = { kind: "from turn", players: [name], number: this.played + 1, figures: [] };
    const grades = this.asked.grades.length ? { grades: [...this.asked.grades, null] } : {};
    const wishes = this.played ? { wishes: [...this.asked.wishes, late] } : {};
    return this.plan({ names: [...this.asked.names, name], ...grades, ...wishes });
  }

  /** @param {string} name who goes: after the turns that stand; before the first turn they are not reckoned with */
  goes(name) {
    if (this.played) {
      const leaves = { kind: "to turn", players: [name], number: this.played, figures: [] };
      return this.plan({ wishes: [...this.asked.wishes, leaves] });
    }
    const at = this.asked.names.indexOf(name);
    return this.plan({
      names: this.asked.names.filter((other) => other !== name),
      grades: this.asked.grades.filter((_, place) => place !== at),
      wishes: this.asked.wishes.filter((wish) => !wish.players.includes(name)),
    });
  }

  #tell() {
    try {
      sessionStorage.setItem(this.key, JSON.stringify({ asked: this.asked, answer: this.answer }));
    } catch {
      // a browser without room forgets at a reload, and that is all
    }
    this.dispatchEvent(new Event("change"));
  }
}
