/** The trial: how long, how often, a run with progress, and what came of it. */

import { counted } from "../model/words.js";
import { get, problemsIn, request } from "../net/api.js";
import { h, newId, say, setText } from "./dom.js";
import { problemList } from "./problems.js";
import { trialResult } from "./trial_result.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Problem, TrialResult } from "../types.js" */

const ASK_MS = 250;

/** @typedef {{ minutes: number, runs: number, seed: number }} Setting */

export class TrialPanel extends EventTarget {
  /** @type {TrialResult | null} */ #result = null;
  /** @type {string | null} */ #job = null;
  #squad_hash = "";
  #minutes = h("input", { type: "number", min: 1, max: 60, step: "any", value: 10, id: newId("minutes") });
  #runs = h("input", { type: "number", min: 1, max: 5000, step: 1, value: 500, id: newId("runs") });
  #seed = h("input", { type: "number", min: 0, step: 1, value: 1, id: newId("seed") });
  #run = h("button", { type: "submit", class: "main" }, "Run the trial");
  #stop = h("button", { type: "button", hidden: true }, "Stop");
  #progress = h("progress", { max: 1, value: 0, "aria-label": "runs done" });
  #running = h("div", { class: "running", hidden: true }, this.#progress, h("span"));
  #state = h("p", { class: "state" });
  #shown = h("div", { class: "results" });

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {AbortSignal} signal
   */
  constructor(editor, game, signal) {
    super();
    this.editor = editor;
    this.game = game;
    this.signal = signal;
    this.#minutes.value = String(editor.doc.finish.minutes ?? 10);
    const form = h(
      "form",
      { class: "setting" },
      h("span", { class: "one" }, h("label", { for: this.#minutes.id }, "minutes"), this.#minutes),
      h("span", { class: "one" }, h("label", { for: this.#runs.id }, "runs"), this.#runs),
      h("span", { class: "one" }, h("label", { for: this.#seed.id }, "seed"), this.#seed),
      this.#run,
      this.#stop,
    );
    form.addEventListener("submit", (event) => (event.preventDefault(), this.run()));
    form.addEventListener("input", () => this.dispatchEvent(new Event("setting")));
    this.#stop.addEventListener("click", () => this.#job && request("DELETE", `/api/jobs/${this.#job}`));
    this.element = h(
      "section",
      { class: "trial" },
      h("h2", {}, "Trial"),
      form,
      this.#running,
      this.#state,
      this.#shown,
    );
    editor.addEventListener("change", () => this.#compare());
    editor.addEventListener("state", () => this.#compare());
    this.#tell("empty");
  }

  /** @returns {Setting} */
  get setting() {
    return { minutes: Number(this.#minutes.value), runs: Number(this.#runs.value), seed: Number(this.#seed.value) };
  }

  /** Show the last trial of this game, and go on watching one that runs. */
  async restore() {
    const [trials, squad] = await Promise.all([get(`/api/games/${this.game}/trials`), get("/api/squad")]);
    if (squad.ok) this.#squad_hash = squad.body.hash;
    if (!trials.ok) return;
    const [last] = trials.body.trials;
    if (last) this.#resume(last.result);
    const [job] = trials.body.jobs ?? [];
    if (job) this.#watch(job.job);
  }

  /** @param {TrialResult} result */
  #resume(result) {
    for (const [input, value] of /** @type {const} */ ([
      [this.#minutes, result.minutes],
      [this.#runs, result.runs],
      [this.#seed, result.seed],
    ])) {
      input.value = String(value);
    }
    this.dispatchEvent(new Event("setting"));
    this.#take(result);
  }

  async run() {
    await this.editor.saver.flush();
    if (!this.editor.saver.clean) return this.#tell("unsaved", this.editor.saver.problems);
    const answer = await request("POST", `/api/games/${this.game}/trials`, { json: this.setting });
    return answer.ok ? this.#watch(answer.body.job) : this.#tell("failed", problemsIn(answer));
  }

  /** @param {string} job */
  async #watch(job) {
    this.#job = job;
    this.#tell("running");
    while (!this.signal.aborted) {
      const answer = await get(`/api/jobs/${job}`, this.signal);
      if (answer.ok) this.#advance(answer.body.done, answer.body.of);
      if (answer.status !== 0 && (!answer.ok || !["waiting", "running"].includes(answer.body.state)))
        return this.#over(answer);
      await new Promise((rest) => setTimeout(rest, ASK_MS));
    }
  }

  /**
   * @param {number} done
   * @param {number} of
   */
  #advance(done, of) {
    this.#progress.max = of || 1;
    if (done) this.#progress.value = done;
    else this.#progress.removeAttribute("value"); // the first trial after a start takes a moment before it plays
    const told = done ? `${done} of ${counted(of, "run")}` : "getting ready …";
    setText(/** @type {Element} */ (this.#running.lastElementChild), told);
  }

  /** @param {import("../net/api.js").Answer} answer */
  #over(answer) {
    this.#job = null;
    const { state, result } = answer.body ?? {};
    if (state === "done" && result) {
      this.#tell("done");
      this.#take(result);
      say(`Trial done. ${result.sentences[0] ?? ""}`);
    } else if (state === "stopped") this.#tell("stopped");
    else this.#tell("failed", answer.body?.problems ?? problemsIn(answer));
  }

  /** @param {TrialResult} result */
  #take(result) {
    this.#result = result;
    this.#shown.replaceChildren(...trialResult(result));
    this.#tell("done");
    this.#compare();
  }

  /** Say so, and step back, when the game is no longer the one that was tried. */
  #compare() {
    if (!this.#result || this.#job) return;
    const { saver } = this.editor;
    const game = !saver.clean || saver.hash !== this.#result.game_hash;
    const squad = this.#squad_hash !== "" && this.#squad_hash !== this.#result.squad_hash;
    this.#shown.classList.toggle("old", game || squad);
    if (this.element.dataset.state !== "done") return;
    const what = game && squad ? "The game and the squad have" : game ? "The game has" : "The squad has";
    setText(this.#state, game || squad ? `${what} changed since this trial. Run it again to see the difference.` : "");
  }

  /**
   * @param {"empty" | "running" | "done" | "stopped" | "failed" | "unsaved"} state
   * @param {Problem[]} [problems]
   */
  #tell(state, problems = []) {
    this.element.dataset.state = state;
    const running = state === "running";
    this.#run.hidden = running;
    this.#stop.hidden = this.#running.hidden = !running;
    if (running) this.#advance(0, this.setting.runs);
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
  }
}
