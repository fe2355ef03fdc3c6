/**
 * The trial: how long, how often, a run with progress, and what came of it. Once there is one it follows every change
 * of the game with a short one, and marks what moved.
 */

import { same } from "../model/path.js";
import { get } from "../net/api.js";
import { JobRun } from "../net/job.js";
import { Against } from "./against.js";
import { Behind } from "./behind.js";
import { h, keepOpen, newId, say, setText } from "./dom.js";
import { prefs, remember, remembered } from "./prefs.js";
import { problemList } from "./problems.js";
import { Running } from "./running.js";
import { trialResult } from "./trial_result.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Problem, TrialResult } from "../types.js" */
/** @import { Outcome } from "../net/job.js" */

const REST_MS = 120; // between the last change and the trial that follows it
const SLOW_MS = 700; // a trial that follows says how far it is only where it takes this long
const QUICK_POSSESSIONS = 2000;
const FEWEST_RUNS = 16;
const FOLLOW = "follow";

/** @typedef {{ minutes: number, runs: number, seed: number }} Setting */

/** Tells `setting` when minutes, runs or seed change, `shown` when another trial is on show. */
export class TrialPanel extends EventTarget {
  /** @type {TrialResult | null} */ result = null;
  /** @type {Game | null} the game of the trial on show, where it is known */ document = null;
  #job;
  #full = false;
  #squad_hash = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #rest;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #slow;
  #minutes = h("input", { type: "number", min: 1, max: 60, step: "any", value: 10, id: newId("minutes") });
  #runs = h("input", { type: "number", min: 1, max: 5000, step: 1, value: 500, id: newId("runs") });
  #seed = h("input", { type: "number", min: 0, step: 1, value: 1, id: newId("seed") });
  #run = h("button", { type: "submit", class: "main" }, "Run the trial");
  #stop = h("button", { type: "button", hidden: true }, "Stop");
  #follow = h("input", { type: "checkbox", id: newId("follow") });
  #running = new Running();
  #state = h("p", { class: "state" });
  #shown = h("div", { class: "results" });
  #ways;

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {AbortSignal} signal
   */
  constructor(editor, game, signal) {
    super();
    this.editor = editor;
    this.game = game;
    this.#job = new JobRun(signal);
    this.#minutes.value = String(editor.doc.finish.minutes ?? 10);
    this.against = new Against(editor, game, () => this.#again());
    this.url = `/api/games/${game}/trials`;
    this.behind = new Behind(this.url, signal);
    this.#follow.checked = remembered(FOLLOW) !== "no";
    this.#ways = h(
      "div",
      { class: "ways choices", hidden: true },
      h("label", { class: "choice", for: this.#follow.id }, this.#follow, " follow every change"),
      this.against.element,
    );
    this.element = h(
      "section",
      { class: "trial" },
      h("h2", {}, "Trial"),
      this.#form(),
      this.#ways,
      this.#running.element,
      this.#state,
      this.#shown,
    );
    this.#follow.addEventListener("change", () => {
      remember(FOLLOW, this.#follow.checked ? "yes" : "no");
      this.#changed();
    });
    editor.addEventListener("change", () => this.#changed());
    editor.addEventListener("state", () => this.#settle());
    prefs.addEventListener("change", () => this.#show(), { signal });
    this.#tell("empty");
  }

  #form() {
    const one = (/** @type {string} */ text, /** @type {HTMLInputElement} */ input) =>
      h("span", { class: "one" }, h("label", { for: input.id }, text), input);
    const form = h(
      "form",
      { class: "setting" },
      one("minutes", this.#minutes),
      one("runs", this.#runs),
      one("seed", this.#seed),
      this.#run,
      this.#stop,
    );
    form.addEventListener("submit", (event) => (event.preventDefault(), this.run()));
    form.addEventListener("input", () => this.dispatchEvent(new Event("setting")));
    this.#stop.addEventListener("click", () => this.#job.stop());
    return form;
  }

  /** @returns {Setting} */
  get setting() {
    return { minutes: Number(this.#minutes.value), runs: Number(this.#runs.value), seed: Number(this.#seed.value) };
  }

  /** Show the last trial of this game, and go on watching one that runs. */
  async restore() {
    const [trials, squad] = await Promise.all([get(this.url), get("/api/squad")]);
    if (squad.ok) this.#squad_hash = squad.body.hash;
    if (!trials.ok) return;
    const [last] = trials.body.trials;
    if (last && this.result === null) await this.#resume(last.result);
    const [job] = trials.body.jobs ?? [];
    if (job) this.#watch(job.job);
  }

  /** @param {TrialResult} result */
  async #resume(result) {
    for (const [input, value] of /** @type {const} */ ([
      [this.#minutes, result.minutes],
      [this.#runs, result.runs],
      [this.#seed, result.seed],
    ])) {
      input.value = String(value);
    }
    this.dispatchEvent(new Event("setting"));
    const document = await this.against.documentOf(result.game_hash);
    this.against.run(document);
    this.#take(result, document);
  }

  /** @param {string} job */
  async #watch(job) {
    this.#begin(true);
    this.#over(await this.#job.watch(job, (done, of, ready) => this.#running.advance(done, of, ready)), this.editor.doc);
  }

  /** The long one, which is kept. */
  async run() {
    this.#begin(true);
    await this.editor.saver.flush();
    if (!this.editor.saver.clean) return this.#tell("unsaved", this.editor.saver.problems);
    await this.#play({ ...this.setting, keep: true }, this.editor.doc);
  }

  /** The short one that follows a change. */
  async #quick() {
    const { minutes, seed } = this.setting;
    const each = this.result?.measures.find((measure) => measure.key === "possessions")?.mean ?? 40;
    const runs = Math.min(this.setting.runs, Math.max(FEWEST_RUNS, Math.ceil(QUICK_POSSESSIONS / each)));
    const { doc } = this.editor;
    this.#begin(false);
    await this.#play({ minutes, seed, runs, keep: false, document: doc }, doc);
  }

  /**
   * @param {Record<string, unknown>} asked
   * @param {Game} document
   */
  async #play(asked, document) {
    const json = { ...asked, ...this.against.asked(document, this.document) };
    this.#over(await this.#job.start(this.url, json, (done, of, ready) => this.#running.advance(done, of, ready)), document);
    if (this.document === document && this.result && !Object.keys(this.result.ranges).length)
      this.behind.follow({ ...json, document }, (longer) => this.#sharpen(longer, document, asked.keep === true));
  }

  /** @param {boolean} full */
  #begin(full) {
    clearTimeout(this.#rest);
    clearTimeout(this.#slow);
    this.behind.stop();
    this.#full = full;
    if (full) this.#tell("running");
    else this.#slow = setTimeout(() => this.#busy(true), SLOW_MS);
  }

  /**
   * @param {Outcome} outcome
   * @param {Game} document
   */
  #over(outcome, document) {
    if (outcome.state === "overtaken") return;
    clearTimeout(this.#slow);
    const full = this.#full;
    this.#full = false;
    if (outcome.state === "done") {
      if (full) this.against.run(document);
      this.#take(outcome.result, document);
      say(full ? `Trial done. ${outcome.result.sentences[0] ?? ""}` : (outcome.result.comparison?.sentences[0] ?? ""));
    } else if (outcome.state === "stopped") this.#tell("stopped");
    else this.#tell("failed", outcome.problems);
  }

  /**
   * @param {TrialResult} result
   * @param {Game | null} document
   */
  #take(result, document) {
    this.result = result;
    this.document = document;
    this.#ways.hidden = false;
    this.#show();
    this.#tell("done");
    this.dispatchEvent(new Event("shown"));
    if (document && !same(document, this.editor.doc)) this.#changed();
  }

  /**
   * What was run with the button keeps its numbers; a short one gives way.
   * @param {TrialResult} longer
   * @param {Game} document
   * @param {boolean} full
   */
  #sharpen(longer, document, full) {
    if (!this.result || this.document !== document) return;
    this.#take(full ? { ...this.result, ranges: longer.ranges } : longer, document);
  }

  #show() {
    const { result } = this;
    if (result) keepOpen(this.#shown, () => this.#shown.replaceChildren(...trialResult(result)));
  }

  /** The game changed: follow it, or say that the trial is of an older one. */
  #changed() {
    clearTimeout(this.#rest);
    this.#settle();
    if (!this.result || this.#full || !this.#follow.checked || !this.#old) return;
    this.#rest = setTimeout(() => this.#quick(), REST_MS);
  }

  /** Something else is to be compared with. */
  #again() {
    if (!this.result || this.#full) return;
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.#quick(), 0);
  }

  get #old() {
    const { saver, doc } = this.editor;
    if (this.document) return !same(this.document, doc);
    return !saver.clean || saver.hash !== this.result?.game_hash;
  }

  /** Step back when the game or the squad is no longer the one that was tried. */
  #settle() {
    if (!this.result || this.#full) return;
    const squad = this.#squad_hash !== "" && this.#squad_hash !== this.result.squad_hash;
    const game = this.#old;
    this.#shown.classList.toggle("old", game || squad);
    if (this.element.dataset.state !== "done") return;
    const what = game && squad ? "The game and the squad have" : game ? "The game has" : "The squad has";
    const told = squad || !this.#follow.checked;
    const text = (game || squad) && told ? `${what} changed since this trial. Run it again to see the difference.` : "";
    setText(this.#state, text);
  }

  /** @param {boolean} running */
  #busy(running) {
    this.#run.hidden = running;
    this.#stop.hidden = this.#running.element.hidden = !running;
  }

  /**
   * @param {"empty" | "running" | "done" | "stopped" | "failed" | "unsaved"} state
   * @param {Problem[]} [problems]
   */
  #tell(state, problems = []) {
    this.element.dataset.state = state;
    this.#full = state === "running";
    this.#busy(this.#full);
    if (this.#full) this.#running.advance(0, this.setting.runs);
    const said = {
      empty:
        "Not tried yet. A trial plays the game many times with the players who are here, and shows what is likely.",
      running: "",
      done: "",
      stopped: "Stopped. Nothing was kept.",
      failed: "The trial could not be played:",
      unsaved: "The trial plays what is on the server, and the last change is not there yet.",
    }[state];
    this.#state.replaceChildren(said, ...(problems.length ? [problemList(document, problems)] : []));
    if (state === "stopped" || state === "failed" || state === "unsaved") say(said);
    this.#settle();
  }
}
