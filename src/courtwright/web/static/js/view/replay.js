/** A possession of the trial on the board: found, played, and at each decision what the player weighed. */

import { decisionAt } from "../model/decisions.js";
import { problemsIn, request } from "../net/api.js";
import { appear, h, newId, say, setText } from "./dom.js";
import { decisionCard } from "./decision.js";
import { fillOptions } from "./fields.js";
import { Player } from "./player.js";
import { problemList } from "./problems.js";

/** @import { Game, Problem, Replay } from "../types.js" */
/** @import { Board } from "./board.js" */
/** @import { TrialPanel } from "./trial.js" */

const NEXT = "next";
const NOTHING = -2; // −1 is before the first decision

/** Tells `open` when a possession comes onto the board. */
export class ReplayPanel extends EventTarget {
  /** @type {Replay | null} */ #replay = null;
  /** @type {Game | null} the game it is a possession of */ #game = null;
  #asked = 0;
  #shown = NOTHING;
  #want = h("select", { id: newId("want") });
  #show = h("button", { type: "submit" }, "Show it on the board");
  #problem = h("div", { class: "state", "aria-live": "polite" });
  #run = h("input", { type: "number", min: 1, step: 1, value: 1, id: newId("run") });
  #possession = h("input", { type: "number", min: 1, step: 1, value: 1, id: newId("possession") });
  #who = h("p", { class: "who" });
  #said = h("p", { class: "sentence" });
  #how = h("p", { class: "hint" });
  #card = h("div", { class: "decision-holder" });
  #player;

  /**
   * @param {Board} board
   * @param {TrialPanel} trial
   * @param {string} game
   */
  constructor(board, trial, game) {
    super();
    this.board = board;
    this.trial = trial;
    this.game = game;
    this.#player = new Player((played) => board.play(played), {
      what: "the possession",
      stays: true,
      seen: (t_s) => this.#seen(t_s),
    });
    this.chooser = this.#chooser();
    this.element = this.#bar();
    trial.addEventListener("shown", () => this.#offer());
    this.#offer();
  }

  /** What stands beside the trial. */
  #chooser() {
    const form = h(
      "form",
      { class: "choices watch-form" },
      h("span", { class: "choice" }, h("label", { for: this.#want.id }, "watch"), this.#want),
      this.#show,
    );
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#find(this.#want.value, false);
    });
    return h("section", { class: "watch", hidden: true }, h("h2", {}, "Watch a possession"), form, this.#problem);
  }

  /** What stands under the board. */
  #bar() {
    const button = (/** @type {string} */ text, /** @type {() => void} */ onclick) =>
      h("button", { type: "button", onclick }, text);
    const numbers = h(
      "form",
      { class: "numbers" },
      h("span", { class: "choice" }, h("label", { for: this.#run.id }, "run"), this.#run),
      h("span", { class: "choice" }, h("label", { for: this.#possession.id }, "possession"), this.#possession),
      h("button", { type: "submit" }, "Go there"),
    );
    numbers.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#ask({ run: Number(this.#run.value), possession: Number(this.#possession.value) });
    });
    const ways = h(
      "div",
      { class: "buttons" },
      button("Another like it", () => this.#find(this.#want.value === NEXT ? NEXT : this.#want.value, true)),
      button("The next", () => this.#find(NEXT, true)),
      button("Close", () => this.close()),
    );
    return h(
      "section",
      { class: "replay", "aria-label": "A possession of the trial", hidden: true },
      this.#who,
      this.#player.element,
      this.#card,
      this.#said,
      h("div", { class: "replay-foot" }, numbers, ways),
      this.#how,
    );
  }

  async #offer() {
    this.chooser.hidden = this.trial.result === null;
    if (this.chooser.hidden || this.#want.options.length) return;
    const answer = await request("GET", `/api/games/${this.game}/settings`);
    if (!answer.ok) return;
    fillOptions(
      this.#want,
      answer.body.wanted.map((/** @type {{ key: string, text: string }} */ item) => [item.key, item.text]),
    );
  }

  /**
   * @param {string} want
   * @param {boolean} onwards from the possession on show
   */
  #find(want, onwards) {
    const from = (onwards || want === NEXT) && this.#replay;
    return this.#ask({ want, ...(from ? { run: from.run, possession: from.possession } : {}) });
  }

  /** @param {{ want?: string, run?: number, possession?: number }} which */
  async #ask(which) {
    const asked = ++this.#asked;
    const { minutes, seed } = this.trial.setting;
    const game = this.trial.editor.doc;
    const json = { document: game, minutes, seed, ...which };
    const answer = await request("POST", `/api/games/${this.game}/replays`, { json });
    if (asked !== this.#asked) return;
    if (!answer.ok) return this.#refused(problemsIn(answer));
    this.#problem.replaceChildren();
    this.#game = game;
    this.#take(answer.body);
  }

  /** @param {Problem[]} problems */
  #refused(problems) {
    const here = problems.map((problem) => ({ ...problem, place: "" })); // the form has one field
    this.#problem.replaceChildren(problemList(document, here));
    if (this.element.hidden) return;
    setText(this.#said, problems.map(({ what, mend }) => `${what}. ${mend}`).join(" "));
  }

  /** @param {Replay} replay */
  #take(replay) {
    this.dispatchEvent(new Event("open"));
    this.#replay = replay;
    this.#shown = NOTHING;
    this.#run.value = String(replay.run);
    this.#possession.value = String(replay.possession);
    const names = Object.entries(replay.players).map(([figure, name]) =>
      h("span", { class: figure.startsWith("X") ? "defence" : "offence" }, h("b", {}, figure), ` ${name}`),
    );
    this.#who.replaceChildren(...names);
    setText(this.#said, replay.sentence);
    this.element.hidden = false;
    this.#player.take({ ...replay, assumes: "" }); // it stands at the foot
    setText(this.#how, replay.assumes);
    appear(this.board.element);
    say(`Run ${replay.run}, possession ${replay.possession}. ${replay.sentence}`);
  }

  /** @param {number} t_s */
  #seen(t_s) {
    if (!this.#replay) return;
    const index = decisionAt(this.#replay.decisions, t_s);
    if (index === this.#shown) return;
    this.#shown = index;
    this.#card.replaceChildren(...decisionCard(this.#replay, index));
  }

  /** The board is wanted for something else. */
  close() {
    this.#asked += 1;
    if (!this.#replay) return;
    this.#replay = null;
    this.#player.take(null);
    this.element.hidden = true;
  }

  /** A game that is changed has other possessions. @param {Game} game */
  changed(game) {
    if (this.#game !== game) this.close();
  }
}
