/** A run as this device knows it: on the device first, then on the screen, then on the server. */

/** @import { Detail, Fact, Opening, Problem, RunState } from "../types.js" */
/** @import { Keep, Memory, Row } from "./keep.js" */

import { get, problemsIn, request } from "../net/api.js";
import { told, undone } from "./corrections.js";
import { HybridClock, ServerClock, deviceName, factOf } from "./device.js";
import { fold } from "./fold.js";
import { Outbox } from "./outbox.js";

const AGAIN_MS = [500, 1000, 2000, 4000];
const SIDE_ISSUES = new Set(["undo", "edit", "clock"]);

/** Tells “change” whenever anything is different. */
export class FloorRun extends EventTarget {
  /** @type {Map<string, Row>} */ #rows = new Map();
  /** @type {EventSource | null} */ #stream = null;
  #last = 0;
  #lost = 0; // times in a row that the stream broke off
  /** whether the stream is open */ live = false;

  /**
   * @param {string} name of the run
   * @param {Opening} opening
   * @param {Keep | Memory} keep
   * @param {Storage} storage
   */
  constructor(name, opening, keep, storage) {
    super();
    this.name = name;
    this.opening = opening;
    this.keep = keep;
    this.device = deviceName(storage);
    this.time = new HybridClock();
    this.server = new ServerClock(storage);
    /** @type {RunState} */
    this.state = fold(opening, []);
    this.outbox = new Outbox({
      waiting: () => this.#of("waiting"),
      send: (facts) => this.#send(facts),
      settle: (taken, refused) => this.#settle(taken, refused),
      changed: () => this.#changed(),
    });
  }

  /**
   * What this device has of a run, or else what the server has; nothing where neither has it.
   * @param {string} name
   * @param {Keep | Memory} keep
   * @param {Storage} storage
   * @returns {Promise<FloorRun | Problem[]>}
   */
  static async open(name, keep, storage) {
    const head = await keep.head(name);
    if (head) {
      const run = new FloorRun(name, head.opening, keep, storage);
      run.#take(await keep.rows(name), head.last);
      return run;
    }
    const answer = await get(`/api/runs/${name}`);
    if (!answer.ok) return problemsIn(answer);
    const { opening, facts, last } = answer.body;
    const run = new FloorRun(name, opening, keep, storage);
    await run.#arrived(facts, last);
    return run;
  }

  /** Follow the server and send what waits. */
  follow() {
    this.#listen();
    addEventListener("online", () => this.#listen());
    this.outbox.push();
  }

  // --- telling

  /**
   * Tell a fact: resolves once it is on this device and on the screen.
   * @param {string} kind
   * @param {Detail} [detail]
   * @param {number} [possession] the one being played if left out
   * @returns {Promise<Fact>}
   */
  async tell(kind, detail = {}, possession = this.state.possession) {
    const { name: run, device, opening } = this;
    const sequence = this.#next++;
    const from = { device, sequence, time: this.time.next(), run, game_id: opening.game_id, game_hash: opening.game_hash };
    const fact = factOf(from, { kind, possession, turn: this.state.turn, detail });
    /** @type {Row} */
    const row = { run, event_id: fact.event_id, fact, fate: "waiting" };
    await this.keep.write([row], { strict: true });
    this.#take([row]);
    this.outbox.push();
    return fact;
  }

  #next = 0;

  /** Undo what this device told last and what still holds. @returns {Promise<Fact | null>} */
  async undo() {
    const { mine } = this;
    const last = mine.at(-1);
    if (last) await this.tell("undo", { event: last.event_id }, last.possession);
    return last ?? null;
  }

  /** What this device told and what still holds, oldest first; corrections and the clock are not among them. */
  get mine() {
    return this.holding.filter((fact) => fact.device === this.device);
  }

  /** Everything that holds, in the order it was told. */
  get holding() {
    const facts = this.facts;
    const gone = undone(new Map(facts.map((fact) => [fact.event_id, fact])));
    return facts.filter((fact) => !gone.has(fact.event_id) && !SIDE_ISSUES.has(fact.kind)).sort(told);
  }

  // --- what there is

  get facts() {
    return [...this.#rows.values()].filter((row) => row.fate !== "refused").map((row) => row.fact);
  }

  get waiting() {
    return this.#of("waiting").length;
  }

  /** @returns {Row[]} what the server would not take */
  get refused() {
    return [...this.#rows.values()].filter((row) => row.fate === "refused");
  }

  /** @param {string} event send once more what was refused */
  async again(event) {
    const row = this.#rows.get(event);
    if (!row) return;
    const waiting = /** @type {Row} */ ({ ...row, fate: "waiting" });
    await this.keep.write([waiting], { strict: true });
    this.#take([waiting]);
    this.outbox.push();
  }

  /** @param {import("./keep.js").Fate} fate */
  #of(fate) {
    return [...this.#rows.values()].filter((row) => row.fate === fate).map((row) => row.fact).sort(told);
  }

  // --- coming in

  /**
   * @param {Row[]} rows
   * @param {number} [last]
   */
  #take(rows, last = this.#last) {
    for (const row of rows) {
      this.#rows.set(row.event_id, row);
      this.time.see(row.fact.time);
      if (row.fact.device === this.device) this.#next = Math.max(this.#next, row.fact.sequence + 1);
    }
    this.#last = Math.max(this.#last, last);
    this.state = fold(this.opening, this.facts);
    this.#changed();
  }

  /**
   * @param {Fact[]} facts
   * @param {number} last
   */
  async #arrived(facts, last) {
    const rows = facts.map((fact) => /** @type {Row} */ ({ run: this.name, event_id: fact.event_id, fact, fate: "taken" }));
    this.#take(rows, last); // the server has them: they may be shown before they are kept here
    await this.keep.write(rows, { head: { run: this.name, opening: this.opening, last } });
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }

  #listen() {
    this.#stream?.close();
    const stream = (this.#stream = new EventSource(`/api/runs/${this.name}/stream?after=${this.#last}`));
    stream.onopen = () => {
      this.live = true;
      this.#lost = 0;
      this.outbox.push();
      this.#changed();
    };
    stream.onerror = () => {
      stream.close();
      this.live = false;
      this.#changed();
      const wait = AGAIN_MS[Math.min(this.#lost++, AGAIN_MS.length - 1)];
      setTimeout(() => this.#stream === stream && this.#listen(), wait);
    };
    stream.addEventListener("facts", (event) => {
      const { facts, last, server_ms } = JSON.parse(event.data);
      this.server.hear(server_ms, 1000); // one way only: a guess until an answer comes
      this.#arrived(facts, last);
    });
    stream.addEventListener("time", (event) => {
      const { last, server_ms } = JSON.parse(event.data);
      this.server.hear(server_ms, 1000);
      if (last < this.#last) this.#setBack();
    });
  }

  /** The server knows less than it did: somebody has put an older backup in its place. It gets everything of ours again. */
  async #setBack() {
    this.#last = 0;
    const ours = [...this.#rows.values()].filter((row) => row.fact.device === this.device && row.fate === "taken");
    const rows = ours.map((row) => /** @type {Row} */ ({ ...row, fate: "waiting" }));
    await this.keep.write(rows, { head: { run: this.name, opening: this.opening, last: 0 } });
    this.#take(rows);
    this.#listen();
    this.outbox.push();
  }

  // --- going out

  /** @param {Fact[]} facts */
  async #send(facts) {
    const begun = performance.now();
    const answer = await request("POST", `/api/runs/${this.name}/facts`, { json: { facts } });
    if (answer.ok) this.server.hear(answer.body.server_ms, performance.now() - begun);
    return answer;
  }

  /**
   * @param {string[]} taken
   * @param {Map<string, Problem[]>} refused
   */
  async #settle(taken, refused) {
    /** @type {Row[]} */
    const rows = [];
    for (const event of taken) {
      const row = this.#rows.get(event);
      if (row) rows.push({ ...row, fate: "taken" });
    }
    for (const [event, problems] of refused) {
      const row = this.#rows.get(event);
      if (row) rows.push({ ...row, fate: "refused", problems });
    }
    await this.keep.write(rows);
    this.#take(rows);
  }
}
