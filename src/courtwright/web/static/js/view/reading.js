/**
 * Reading the start: gaps, help and the cost of waiting. While a figure is dragged the numbers follow from few
 * parameter sets; on release everything is read again from all of them.
 */

import { floorShares, startAsMoment } from "../model/moment.js";
import { problemsIn, request } from "../net/api.js";
import { Latest } from "../net/latest.js";
import { h, newId, setText } from "./dom.js";
import { problemList } from "./problems.js";
import { helpTable, passTable, switchCurve } from "./reading_tables.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Point, ReadingResult, ReadMore } from "../types.js" */
/** @import { Answer } from "../net/api.js" */
/** @import { Moments } from "./moments.js" */

const AGAIN_MS = 2000;
const GETTING_READY = 503;

export class ReadingPanel {
  /** @type {ReadingResult | null} */ #reading = null;
  /** @type {ReadMore | null} */ #more = null;
  #question = "";
  #open = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #again;
  #level = h("select", { id: newId("level") }, h("option", { value: "" }, "as the squad"));
  #plain = h("input", { type: "checkbox", id: newId("plain") });
  #rotated = h("input", { type: "checkbox", id: newId("rotated") });
  #map = h("input", { type: "checkbox", id: newId("map") });
  #state = h("p", { class: "state", "aria-live": "polite" });
  #shown = h("div", { class: "results" });

  /**
   * @param {Editor<Game>} editor
   * @param {() => Map<string, Point>} places where the board shows the figures
   * @param {(map: ReadingResult["map"] | null) => void} showMap
   * @param {Moments} moments
   * @param {string[]} levels
   * @param {AbortSignal} signal
   */
  constructor(editor, places, showMap, moments, levels, signal) {
    this.editor = editor;
    this.places = places;
    this.showMap = showMap;
    this.asking = new Latest("/api/read", (answer, question) => this.#take(answer, question.dragging));
    const choice = (/** @type {HTMLInputElement} */ input, /** @type {string} */ text) =>
      h("label", { class: "choice", for: input.id }, input, ` ${text}`);
    const summary = h("summary", {}, h("h2", {}, "Read the start"));
    const inner = h(
      "div",
      { class: "reading-body" },
      h(
        "div",
        { class: "choices" },
        h("label", { class: "choice", for: this.#level.id }, "preset ", this.#level),
        choice(this.#plain, "plain twos and threes"),
        choice(this.#rotated, "the next man rotates"),
        choice(this.#map, "who is first where"),
      ),
      this.#state,
      this.#shown,
      worked(),
      moments.element,
    );
    this.element = h("details", { class: "reading" }, summary, inner);
    this.element.addEventListener("toggle", () => {
      this.#open = /** @type {HTMLDetailsElement} */ (this.element).open;
      if (this.#open) moments.update();
      this.update();
    });
    this.#level.append(...levels.map((level) => h("option", { value: level }, level)));
    this.#level.addEventListener("change", () => this.update());
    this.#plain.addEventListener("change", () => this.update());
    this.#rotated.addEventListener("change", () => this.#show());
    this.#map.addEventListener("change", () => this.#show());
    signal.addEventListener("abort", () => clearTimeout(this.#again));
  }

  /** Read where the figures stand now. */
  update() {
    if (!this.#open) return void this.showMap(null);
    this.#ask(this.places(), false);
  }

  /**
   * Follow a finger.
   * @param {Map<string, Point>} places
   */
  follow(places) {
    if (this.#open) this.#ask(places, true);
  }

  /**
   * @param {Map<string, Point>} places
   * @param {boolean} dragging
   */
  #ask(places, dragging) {
    const points = this.#plain.checked ? "plain" : "game";
    const moment = startAsMoment(this.editor.doc, places);
    const document = points === "game" ? { ...this.editor.doc, easier: [], harder: [], forms: [] } : null;
    const question = { moment, document, points, dragging, level: this.#level.value || null };
    this.#question = JSON.stringify(question);
    this.asking.ask(question);
  }

  /**
   * @param {Answer} answer
   * @param {boolean} dragging
   */
  #take(answer, dragging) {
    this.#shown.classList.toggle("stale", !answer.ok);
    if (!answer.ok) return this.#refused(answer);
    this.#state.replaceChildren();
    this.#reading = answer.body;
    if (dragging) this.#more = null;
    else this.#readMore();
    this.#show();
  }

  /** @param {Answer} answer */
  #refused(answer) {
    if (answer.status === GETTING_READY) {
      setText(this.#state, "Getting ready; the first reading after an update takes half a minute …");
      clearTimeout(this.#again);
      this.#again = setTimeout(() => this.update(), AGAIN_MS);
      return;
    }
    if (answer.status === 0) return setText(this.#state, "The server does not answer; these numbers are old.");
    this.#reading = this.#more = null;
    this.#show();
    this.#state.replaceChildren(problemList(document, problemsIn(answer)));
  }

  async #readMore() {
    const asked = this.#question;
    const answer = await request("POST", "/api/read/more", { text: undefined, json: JSON.parse(asked) });
    if (asked !== this.#question || !answer.ok) return;
    this.#more = answer.body;
    this.#show();
  }

  #show() {
    const reading = this.#reading;
    this.showMap(reading && this.#map.checked && this.#open ? reading.map : null);
    if (!reading) return this.#shown.replaceChildren();
    const { sentences } = reading;
    const panels = [
      panel("The shot and the pass now", passTable(reading.passes), sentences.shot, sentences.passes),
      panel("The drive", null, sentences.drive, sentences.never),
      ...reading.help.map((help) => this.#help(help, sentences.help[help.helper])),
      this.#pause(),
      this.#space(reading),
    ];
    this.#shown.replaceChildren(
      ...panels.filter((part) => part !== null),
      h("p", { class: "unit" }, `Counted in ${reading.unit}; ${reading.level} preset, most of it estimated. ${reading.range}.`),
    );
  }

  /**
   * @param {ReadingResult["help"][0]} help
   * @param {string} sentence
   */
  #help(help, sentence) {
    const points = this.#more?.switch[help.helper] ?? [];
    const curve = points.length ? switchCurve(points, help.man) : null;
    const early = this.#more?.sentences.early[help.helper] ?? "";
    const parts = h("div", {}, helpTable(help, this.#rotated.checked), curve);
    return panel(`If ${help.helper} leaves ${help.man || "his place"}`, parts, sentence, early);
  }

  #pause() {
    return this.#more ? panel("A pause after the catch", null, this.#more.sentences.pause) : null;
  }

  /** @param {ReadingResult} reading */
  #space(reading) {
    const shares = floorShares(reading.map);
    const first = `The attack is first to ${Math.round(shares.offence * 100)} % of the half court, the defence to ${Math.round(shares.defence * 100)} %.`;
    const hull = reading.spacing.hull_m2 ? ` The attackers span ${Math.round(reading.spacing.hull_m2)} m².` : "";
    return panel("Space", null, first + hull);
  }
}

function worked() {
  const lines = [
    "Bodies sprint, brake and slide by one law; a gap is what is left when the shot leaves the hand.",
    "Dribbles are clocked and metres emerge. A helper stops the ball or contests the finish; the attack answers at its best.",
    "Every number is a mean over draws from the presets’ ranges; most of these are estimates, the youngest least known.",
    "Not in it: screens, a second move, team-mates who move during the drive, help that loads up in a pause.",
  ];
  return h(
    "details",
    { class: "in-words" },
    h("summary", {}, "How this is worked out"),
    ...lines.map((line) => h("p", {}, line)),
  );
}

/**
 * @param {string} title
 * @param {Element | null} content
 * @param {...string} sentences
 */
function panel(title, content, ...sentences) {
  const said = sentences.filter(Boolean).join(" ");
  return h("section", { class: "panel" }, h("h3", {}, title), content, h("p", {}, said));
}
