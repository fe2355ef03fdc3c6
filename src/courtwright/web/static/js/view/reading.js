/**
 * Reading what the board shows: gaps, help and the cost of waiting. While a figure is dragged the numbers follow
 * from few parameter sets; on release everything is read again from all of them.
 */

import { readable } from "../model/moment.js";
import { problemsIn, request } from "../net/api.js";
import { Latest } from "../net/latest.js";
import { h, keepFocus, newId, setText } from "./dom.js";
import { prefs, remember, remembered } from "./prefs.js";
import { problemList } from "./problems.js";
import { howRead, readingPanels } from "./reading_panels.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Point, ReadingResult, ReadMore, Vocabulary } from "../types.js" */
/** @import { Answer } from "../net/api.js" */
/** @import { Board } from "./board.js" */
/** @import { Row } from "./reading_tables.js" */

const AGAIN_MS = 2000;
const GETTING_READY = 503;
const OPEN = "reading";

/** Tells `read` after every answer, `choice` when a row is chosen, `fresh` when what is asked beside the places changes. */
export class ReadingPanel extends EventTarget {
  /** @type {ReadingResult | null} */ reading = null;
  /** @type {ReadMore | null} */ #more = null;
  #late = false; // pauses and switch are of an earlier reading until they come again
  /** @type {Row | null} the row whose drive is on the board */ chosen = null;
  #layers = false;
  #helper = "";
  #question = "";
  #answered = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #again;
  #plain = h("input", { type: "checkbox", id: newId("plain") });
  #rotated = h("input", { type: "checkbox", id: newId("rotated"), "data-key": "rotated" });
  #level = h("select", { id: newId("level") });
  #heading = h("h2", {}, "Read the start");
  #state = h("div", { class: "state", "aria-live": "polite" });
  #unit = h("p", { class: "unit" });
  #shown = h("div", { class: "results" });

  /**
   * @param {Editor<Game>} editor
   * @param {Board} board
   * @param {Vocabulary} vocabulary
   * @param {AbortSignal} signal
   */
  constructor(editor, board, vocabulary, signal) {
    super();
    this.editor = editor;
    this.board = board;
    this.asking = new Latest("/api/read", (answer, question) => this.#take(answer, question));
    const how = howRead();
    this.#level.append(
      h("option", { value: "" }, "as the squad"),
      ...vocabulary.levels.map((level) => h("option", { value: level }, level)),
    );
    const body = h("div", { class: "reading-body" }, this.#choices(), this.#unit, this.#state, this.#shown, how);
    this.element = h("details", { class: "reading" }, h("summary", {}, this.#heading), body);
    this.element.open = remembered(OPEN) === "open";
    this.rotation = this.#choice(this.#rotated, "the next man rotates");
    this.element.addEventListener("toggle", () => {
      remember(OPEN, this.element.open ? "open" : "closed");
      this.update();
    });
    for (const input of [this.#plain, this.#level]) input.addEventListener("change", () => this.update());
    this.#rotated.addEventListener("change", () => this.#show());
    prefs.addEventListener("change", () => this.#show(), { signal });
    signal.addEventListener("abort", () => clearTimeout(this.#again));
  }

  #choices() {
    return h(
      "div",
      { class: "choices" },
      this.#choice(this.#plain, "plain twos and threes"),
      h("span", { class: "choice" }, h("label", { for: this.#level.id }, "preset"), this.#level),
    );
  }

  /**
   * @param {HTMLInputElement} input
   * @param {string} text
   */
  #choice(input, text) {
    return h("label", { class: "choice", for: input.id }, input, ` ${text}`);
  }

  get active() {
    return this.element.open || this.#layers;
  }

  /** @param {boolean} wanted a layer on the board needs the reading, open or not */
  need(wanted) {
    if (wanted === this.#layers) return;
    this.#layers = wanted;
    this.update();
  }

  /** @param {string} what such as “the start” */
  name(what) {
    setText(this.#heading, `Read ${what}`);
  }

  /** @param {Row | null} row */
  choose(row) {
    this.chosen = row;
    if (row?.helper) this.#helper = row.helper;
    this.#show();
    this.dispatchEvent(new Event("choice"));
  }

  /** Read where the figures stand now. */
  update() {
    if (this.active) return this.#ask(this.board.places(), false);
    this.dispatchEvent(new Event("read"));
  }

  /**
   * Follow a finger.
   * @param {Map<string, Point>} places
   */
  follow(places) {
    if (this.active) this.#ask(places, true);
  }

  /** What is asked beside the moment. */
  asked() {
    const points = this.#plain.checked ? "plain" : "game";
    const document = points === "game" ? readable(this.editor.doc) : null;
    return { document, points, level: this.#level.value || null };
  }

  /**
   * @param {Map<string, Point>} places
   * @param {boolean} dragging
   */
  #ask(places, dragging) {
    clearTimeout(this.#again);
    const question = { moment: this.board.subject.moment(places), ...this.asked(), dragging };
    this.#question = JSON.stringify(question);
    if (this.#question !== this.#answered) this.asking.ask(question);
  }

  /**
   * @param {Answer} answer
   * @param {{ dragging: boolean }} question
   */
  #take(answer, question) {
    const { dragging } = question;
    this.#answered = answer.ok ? JSON.stringify(question) : "";
    this.#shown.classList.toggle("stale", !answer.ok);
    if (!answer.ok) return this.#refused(answer);
    this.#state.replaceChildren();
    this.reading = answer.body;
    this.#late = true;
    if (!dragging) this.#readMore();
    this.#settle();
    this.#show();
    this.dispatchEvent(new Event("read"));
  }

  /** A row that this reading does not have cannot stay chosen. */
  #settle() {
    const helpers = this.reading?.help.map((help) => help.helper) ?? [];
    if (!helpers.includes(this.#helper)) this.#helper = helpers[0] ?? "";
    if (this.chosen?.helper && !helpers.includes(this.chosen.helper)) this.chosen = null;
  }

  /** @param {Answer} answer */
  #refused(answer) {
    if (answer.status === GETTING_READY) {
      setText(this.#state, "Getting ready; the first reading after an update takes half a minute …");
      this.#again = setTimeout(() => this.update(), AGAIN_MS);
      return;
    }
    if (answer.status === 0) {
      setText(this.#state, "The server does not answer; these numbers are old.");
      this.#again = setTimeout(() => this.update(), AGAIN_MS);
      return;
    }
    this.reading = this.#more = null;
    this.#show();
    this.#state.replaceChildren(problemList(document, problemsIn(answer)));
    this.dispatchEvent(new Event("read"));
  }

  async #readMore() {
    const asked = this.#question;
    const answer = await request("POST", "/api/read/more", { json: JSON.parse(asked) });
    if (asked !== this.#question || !answer.ok) return;
    this.#more = answer.body;
    this.#late = false;
    this.#show();
  }

  #show() {
    const { reading } = this;
    this.#unit.hidden = reading === null;
    if (!reading) return this.#shown.replaceChildren();
    this.#shown.classList.toggle("late", this.#late);
    const { unit, level, range } = reading;
    setText(this.#unit, `Counted in ${unit}; ${level} preset, most of it estimated. ${range}.`);
    const shown = {
      helper: this.#helper,
      rotated: this.#rotated.checked,
      late: this.#late,
      chosen: this.chosen,
      choose: (/** @type {Row | null} */ row) => this.choose(row),
      look: (/** @type {string} */ helper) => ((this.#helper = helper), this.#show()),
      rotation: this.rotation,
    };
    keepFocus(this.#shown, () => this.#shown.replaceChildren(...readingPanels(reading, this.#more, shown)));
  }
}
