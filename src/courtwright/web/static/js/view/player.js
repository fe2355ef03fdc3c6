/** Plays what a timeline holds: by hand along its time, event by event, or by itself. It never starts by itself. */

import { gapPair, lengthS, momentText, placesAt, stepS } from "../model/timeline.js";
import { h, s, say, setText } from "./dom.js";

/** @import { Timeline } from "../types.js" */
/** @import { Played } from "./board.js" */

const STEP_S = 0.05;
const STILL_MS = 900; // with reduced motion the events follow one another as pictures
const still = matchMedia("(prefers-reduced-motion: reduce)");

export class Player {
  /** @type {Timeline | null} */ #timeline = null;
  #t_s = 0;
  #frame = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;
  #range = h("input", { type: "range", min: 0, max: 1, step: STEP_S, value: 0 });
  #ticks = s("svg", { class: "ticks", width: "100%", height: 10, "aria-hidden": "true" });
  #time = h("span", { class: "time" });
  #play = h("button", { type: "button", class: "play" }, "Play");
  #assumes = h("p", { class: "hint" });

  /**
   * @param {(played: Played | null) => void} show
   * @param {object} [how]
   * @param {string} [how.what] what is played
   * @param {boolean} [how.stays] whether its beginning is shown too, because it is not where everyone stands
   * @param {(t_s: number) => void} [how.seen] told the time that is shown
   */
  constructor(show, { what = "the drive", stays = false, seen } = {}) {
    this.show = show;
    this.stays = stays;
    this.seen = seen;
    this.#range.setAttribute("aria-label", `time of ${what}`);
    const step = (/** @type {1 | -1} */ way, /** @type {string} */ text, /** @type {string} */ said) =>
      h("button", { type: "button", "aria-label": said, onclick: () => this.#step(way) }, text);
    this.#play.addEventListener("click", () => (this.playing ? this.#halt() : this.#start()));
    this.#range.addEventListener("input", () => (this.#halt(), this.seek(Number(this.#range.value))));
    this.element = h(
      "div",
      { class: "player", role: "group", "aria-label": `${what}, played`, hidden: true },
      h("div", { class: "keys" }, step(-1, "‹", "previous event"), this.#play, step(1, "›", "next event")),
      h("div", { class: "run-of-time" }, this.#range, this.#ticks),
      this.#time,
      this.#assumes,
    );
  }

  get playing() {
    return this.#frame !== 0 || this.#timer !== undefined;
  }

  /** @param {Timeline | null} timeline */
  take(timeline) {
    this.#halt();
    this.#timeline = timeline;
    this.element.hidden = timeline === null;
    if (!timeline) return this.show(null);
    const length_s = lengthS(timeline);
    this.#range.max = String(Math.ceil(length_s / STEP_S) * STEP_S);
    const x = (/** @type {number} */ t_s) => `${(t_s / Number(this.#range.max)) * 100}%`;
    this.#ticks.replaceChildren(
      ...timeline.events.map(({ t_s }) => s("line", { x1: x(t_s), x2: x(t_s), y1: 0, y2: 6 })),
    );
    setText(this.#assumes, timeline.assumes);
    this.seek(0);
  }

  /** Back to where everyone stands. */
  rest() {
    this.#halt();
    this.seek(0);
  }

  /** @param {number} t_s */
  seek(t_s) {
    const timeline = this.#timeline;
    if (!timeline) return;
    this.#t_s = Math.min(Math.max(0, t_s), lengthS(timeline));
    this.#range.value = String(this.#t_s);
    const words = momentText(timeline, this.#t_s);
    setText(this.#time, words);
    this.#range.setAttribute("aria-valuetext", words);
    this.show(this.#t_s === 0 && !this.stays ? null : { ...placesAt(timeline, this.#t_s), gap: gapPair(timeline) });
    this.seen?.(this.#t_s);
  }

  /** Set it going. */
  play() {
    if (!this.playing) this.#start();
  }

  /** @param {1 | -1} way */
  #step(way) {
    if (!this.#timeline) return;
    this.#halt();
    this.seek(stepS(this.#timeline, this.#t_s, way));
    say(momentText(this.#timeline, this.#t_s));
  }

  #start() {
    if (!this.#timeline) return;
    setText(this.#play, "Pause");
    if (this.#t_s >= lengthS(this.#timeline)) this.seek(0);
    if (still.matches) this.#picture();
    else this.#glide(performance.now() - this.#t_s * 1000);
  }

  /** @param {number} began */
  #glide(began) {
    this.#frame = requestAnimationFrame((now) => {
      this.#frame = 0;
      this.seek((now - began) / 1000);
      if (this.#over) this.#halt();
      else this.#glide(began);
    });
  }

  #picture() {
    if (!this.#timeline) return;
    this.seek(stepS(this.#timeline, this.#t_s, 1));
    this.#timer = setTimeout(() => {
      this.#timer = undefined;
      if (this.#over) this.#halt();
      else this.#picture();
    }, STILL_MS);
  }

  get #over() {
    return !this.#timeline || this.#t_s >= lengthS(this.#timeline);
  }

  #halt() {
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.#timer);
    this.#frame = 0;
    this.#timer = undefined;
    setText(this.#play, "Play");
  }
}
