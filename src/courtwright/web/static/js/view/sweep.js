/** One setting over its values: what to vary, what to look at, and the curve of it. */

import { counted } from "../model/words.js";
import { get } from "../net/api.js";
import { JobRun } from "../net/job.js";
import { h, newId, say, setText } from "./dom.js";
import { fillOptions } from "./fields.js";
import { problemList } from "./problems.js";
import { Running } from "./running.js";
import { sweepChart, sweepTable } from "./sweep_chart.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Problem, SettingsOf, Sweep } from "../types.js" */
/** @import { TrialPanel } from "./trial.js" */

const RUNS = 200;
const MOST_VALUES = 12;

export class SweepPanel {
  /** @type {SettingsOf | null} */ #offered = null;
  #job;
  #setting = h("select", { id: newId("setting") });
  #values = h("input", { type: "text", id: newId("values"), autocomplete: "off", spellcheck: "false" });
  #measure = h("select", { id: newId("measure") });
  #run = h("button", { type: "submit", class: "main" }, "Try them all");
  #stop = h("button", { type: "button", hidden: true }, "Stop");
  #running = new Running();
  #state = h("div", { class: "state", "aria-live": "polite" });
  #shown = h("div", { class: "results" });

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {TrialPanel} trial whose minutes and seed hold here too
   * @param {AbortSignal} signal
   */
  constructor(editor, game, trial, signal) {
    this.editor = editor;
    this.game = game;
    this.trial = trial;
    this.#job = new JobRun(signal);
    this.element = h(
      "details",
      { class: "sweep" },
      h("summary", {}, h("h2", {}, "One setting over its values")),
      this.#form(),
      this.#running.element,
      this.#state,
      this.#shown,
    );
    this.element.addEventListener("toggle", () => this.#offer());
    this.#setting.addEventListener("change", () => this.#propose());
    this.#stop.addEventListener("click", () => this.#job.stop());
    editor.saver.addEventListener("saved", () => this.#offer());
    editor.addEventListener("change", () => this.#shown.classList.toggle("old", this.#shown.childElementCount > 0));
  }

  #form() {
    const one = (/** @type {string} */ text, /** @type {HTMLSelectElement | HTMLInputElement} */ input, wide = false) =>
      h("span", { class: wide ? "one wide" : "one" }, h("label", { for: input.id }, text), input);
    const form = h(
      "form",
      { class: "setting" },
      one("setting", this.#setting, true),
      one("values", this.#values, true),
      one("look at", this.#measure, true),
      this.#run,
      this.#stop,
    );
    form.addEventListener("submit", (event) => (event.preventDefault(), this.#sweep()));
    return form;
  }

  async #offer() {
    if (!this.element.open) return;
    const answer = await get(`/api/games/${this.game}/settings`);
    if (!answer.ok) return;
    const first = this.#offered === null;
    /** @type {SettingsOf} */
    const offered = (this.#offered = answer.body);
    const [setting, measure] = [this.#setting.value, this.#measure.value];
    fillOptions(
      this.#setting,
      offered.settings.map(({ key, text, now }) => {
        const name = text.replace(/^… /, "");
        return [key, now === null ? `${name} (not set)` : `${name}, now ${now}`];
      }),
    );
    fillOptions(
      this.#measure,
      offered.measures.map(({ key, text, unit }) => [key, `${text}, ${unit}`]),
    );
    if (first) return this.#propose();
    this.#setting.value = setting;
    this.#measure.value = measure;
  }

  /** Values to begin with. */
  #propose() {
    const setting = this.#offered?.settings.find(({ key }) => key === this.#setting.value);
    this.#values.value = (setting?.usual ?? []).join(", ");
  }

  /** @returns {(number | string)[]} */
  #asked() {
    const parts = this.#values.value.split(/[,;]/).map((part) => part.trim());
    return parts.filter(Boolean).map((part) => (Number.isNaN(Number(part)) ? part : Number(part)));
  }

  async #sweep() {
    const values = this.#asked();
    if (!values.length || values.length > MOST_VALUES) {
      const what = values.length ? `${values.length} values are too many` : "No values are given";
      return this.#tell([{ place: "", what, mend: `Write 1 to ${MOST_VALUES}, with commas between them.` }]);
    }
    const { minutes, seed } = this.trial.setting;
    const document = this.editor.doc;
    const json = { setting: this.#setting.value, values, measure: this.#measure.value, minutes, seed, runs: RUNS, document };
    this.#busy(true);
    this.#tell([]);
    /** @type {import("../net/job.js").Advance} */
    const advance = (done, of, ready) => this.#running.advance(done, of, ready);
    const outcome = await this.#job.start(`/api/games/${this.game}/sweeps`, json, advance);
    if (outcome.state === "overtaken") return;
    this.#busy(false);
    if (outcome.state === "stopped") return setText(this.#state, "Stopped.");
    if (outcome.state === "failed") return this.#tell(outcome.problems);
    this.#show(outcome.result);
    this.#shown.classList.toggle("old", document !== this.editor.doc);
  }

  /** @param {Sweep} sweep */
  #show(sweep) {
    this.#shown.replaceChildren(
      sweepChart(sweep),
      h("p", { class: "sentence" }, sweep.sentences.join(" ")),
      sweepTable(sweep),
      h(
        "details",
        { class: "how" },
        h("summary", {}, "How this is worked out"),
        h("p", {}, `${sweep.how} ${counted(sweep.runs, "run")} of ${sweep.minutes} minutes for each value.`),
      ),
    );
    say(sweep.sentences.join(" "));
  }

  /** @param {Problem[]} problems */
  #tell(problems) {
    this.#state.replaceChildren(...(problems.length ? [problemList(document, problems)] : []));
  }

  /** @param {boolean} running */
  #busy(running) {
    this.#run.hidden = running;
    this.#stop.hidden = this.#running.element.hidden = !running;
    if (running) this.#running.advance(0, 1);
  }
}
