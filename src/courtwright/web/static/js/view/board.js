/**
 * The true-to-scale board: the server's drawing, whose figures can be moved by mouse, touch and keys.
 *
 * The drawing is asked for again after each change. Between asking and answer, and while the server cannot be
 * reached, the figures already stand where they were put; lines that no longer fit are taken away.
 */

import { distanceM, keptOnFloor, lengthText, placeText, roundedCm, snapped } from "../model/geometry.js";
import { drawable, kindOf, opposite, placedM, placeOf, withPlace } from "../model/game.js";
import { get, request } from "../net/api.js";
import { drawing, h, s, say } from "./dom.js";
import { gapMark, onDrawing, spotMarks } from "./overlay.js";
import { prefs } from "./prefs.js";
import { Stage } from "./stage.js";

/** @import { Editor } from "../editor.js" */
/** @import { CourtLines, Game, Place, Point, Vocabulary } from "../types.js" */

const STEP_M = 0.1;
const LONG_STEP_M = 0.5;
const ON_SPOT_M = 0.04; // keys leave a spot in steps; only a figure that stands on it takes its name
const COACH_OUTSIDE_M = 2;
const REDRAW_MS = 60;
/** @type {Record<string, Point>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** @param {Event} event */
function onFigure(event) {
  return event.target instanceof Element && event.target.closest("[data-figure]") !== null;
}

/** @typedef {{ figure: string, from: Point, hold: Point, at: Place, moved: boolean, pointer: number }} Drag */

export class Board {
  /** @type {number | null} */ variant = null;
  /** @type {(places: Map<string, Point>) => void} told where everyone stands while a figure is dragged */ moving = () => {};
  /** @type {Drag | null} */ #drag = null;
  /** @type {PointerEvent | null} */ #latest = null;
  #frame = 0;
  #stage = new Stage((figure) => this.said(figure));
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #redraw;
  #asked = 0;
  #words = h("p", { class: "twin" });

  /**
   * @param {Editor<Game>} editor
   * @param {Vocabulary} vocabulary
   * @param {string} picture where the server's own drawing is
   * @param {AbortSignal} signal
   */
  constructor(editor, vocabulary, picture, signal) {
    this.editor = editor;
    this.picture = picture;
    this.vocabulary = vocabulary;
    const { svg, overlay } = this.#stage;
    this.element = h("div", { class: "board-holder" }, svg);
    this.twin = h("details", { class: "in-words" }, h("summary", {}, "The drawing in words"), this.#words);
    // some browsers heed touch-action on the parts of a drawing only now and then; this keeps the page still for certain
    svg.addEventListener("touchstart", (event) => void (onFigure(event) && event.preventDefault()), { passive: false });
    svg.addEventListener("pointerdown", (event) => this.#down(event));
    svg.addEventListener("pointermove", (event) => this.#move(event));
    svg.addEventListener("pointerup", () => this.#up());
    svg.addEventListener("pointercancel", () => this.#letGo());
    svg.addEventListener("keydown", (event) => this.#key(event));
    svg.addEventListener("focusin", () => this.#showGap());
    svg.addEventListener("focusout", () => overlay.replaceChildren());
    prefs.addEventListener("change", () => this.update(), { signal });
    const watcher = new ResizeObserver(() => this.#settle());
    watcher.observe(this.element);
    signal.addEventListener("abort", () => watcher.disconnect());
  }

  /** @returns {CourtLines} */
  get court() {
    return this.vocabulary.courts[this.editor.doc.court] ?? Object.values(this.vocabulary.courts)[0];
  }

  /** @param {number | null} variant */
  show(variant) {
    this.variant = variant;
    this.update();
  }

  /** Show the document as it is now. */
  update() {
    if (this.#drag) return;
    if (this.variant !== null && this.variant >= this.editor.doc.start.variants.length) this.variant = null;
    this.#settle();
    clearTimeout(this.#redraw);
    this.#redraw = setTimeout(() => this.#ask(), REDRAW_MS);
  }

  async #ask() {
    const asked = ++this.#asked;
    const json = { ...drawable(this.editor.doc, this.variant), feet: prefs.feet };
    const answer = await request("POST", "/api/draw", { json });
    if (asked !== this.#asked || this.#drag) return;
    this.element.classList.toggle("stale", !answer.ok);
    const drawn = drawing(answer.ok ? answer.body : await this.#kept());
    if (!drawn) return;
    this.#words.textContent = drawn.querySelector("desc")?.textContent ?? "";
    this.#stage.take(drawn);
    this.#settle();
  }

  /** The drawing of what the server has, where what is here cannot be drawn and nothing is drawn yet. */
  async #kept() {
    if (!this.#stage.empty) return "";
    const answer = await get(this.picture);
    return answer.ok ? answer.body : "";
  }

  /** Everything where it belongs, at the size of the screen. */
  #settle() {
    this.#stage.fit(this.court, prefs.feet);
    this.#stage.place(this.places(), this.court);
    this.#stage.fit(this.court, prefs.feet); // a figure that was borrowed needs its grip too
    this.#showGap();
  }

  /** Where everyone stands, in metres. */
  places() {
    return placedM(this.editor.doc, this.court, this.variant);
  }

  /** @param {PointerEvent} event */
  #down(event) {
    if (event.button !== 0 || this.#drag || !onFigure(event)) return;
    const point = this.#stage.metres(event, this.court);
    const places = [...this.places()].filter(([name]) => this.#stage.figure(name));
    // grips overlap on a small screen: the nearest figure is meant
    const [figure, from] = places.reduce((best, next) =>
      distanceM(next[1], point) < distanceM(best[1], point) ? next : best,
    );
    event.preventDefault();
    this.#stage.figure(figure)?.focus({ preventScroll: true });
    this.#stage.svg.setPointerCapture(event.pointerId);
    const hold = /** @type {Point} */ ([from[0] - point[0], from[1] - point[1]]);
    this.#drag = { figure, from, hold, at: from, moved: false, pointer: event.pointerId };
  }

  /** @param {PointerEvent} event */
  #move(event) {
    if (!this.#drag || event.pointerId !== this.#drag.pointer) return;
    this.#latest = event;
    this.#frame ||= requestAnimationFrame(() => this.#follow());
  }

  #follow() {
    this.#frame = 0;
    const drag = this.#drag;
    if (!drag || !this.#latest) return;
    const [x, y] = this.#stage.metres(this.#latest, this.court);
    const wanted = /** @type {Point} */ ([x + drag.hold[0], y + drag.hold[1]]);
    if (!drag.moved && distanceM(wanted, drag.from) < STEP_M / 2) return;
    drag.moved = true;
    this.element.classList.add("dragging");
    const inside = this.#allowed(drag.figure, wanted);
    drag.at = this.#latest.altKey ? roundedCm(inside) : snapped(this.court.spots, inside);
    const point = typeof drag.at === "string" ? this.court.spots[drag.at] : drag.at;
    this.#stage.put(drag.figure, point, this.court);
    this.#stage.under.replaceChildren(spotMarks(this.court, drag.at));
    this.#stage.overlay.replaceChildren(this.#gap(drag.figure, point));
    this.moving(this.places().set(drag.figure, point));
  }

  /**
   * Lay something under the figures, or take it away.
   * @param {SVGElement | null} layer
   */
  lay(layer) {
    this.#stage.layer.replaceChildren(...(layer ? [layer] : []));
  }

  #up() {
    cancelAnimationFrame(this.#frame);
    this.#follow();
    const drag = this.#drag;
    this.#letGo();
    if (!drag?.moved) return;
    this.editor.edit(withPlace(this.editor.doc, this.variant, drag.figure, drag.at));
    say(this.said(drag.figure));
  }

  #letGo() {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.#drag = null;
    this.#latest = null;
    this.element.classList.remove("dragging");
    this.#stage.under.replaceChildren();
    this.#settle();
  }

  /**
   * Players stay on the floor; a coach may stand beside it.
   * @param {string} figure
   * @param {Point} point
   */
  #allowed(figure, point) {
    return keptOnFloor(this.court, point, figure === "C" ? COACH_OUTSIDE_M : 0);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.key === "Escape" && this.#drag) return this.#letGo();
    const figure = this.#stage.focused;
    const way = WAYS[event.key];
    const from = figure && this.places().get(figure);
    if (!way || !from || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const step_m = event.shiftKey ? LONG_STEP_M : STEP_M;
    const inside = this.#allowed(figure, [from[0] + way[0] * step_m, from[1] + way[1] * step_m]);
    const at = snapped(this.court.spots, inside, ON_SPOT_M);
    this.editor.edit(withPlace(this.editor.doc, this.variant, figure, at), `move:${figure}`);
    say(this.said(figure));
  }

  #showGap() {
    const figure = this.#stage.focused;
    const at = figure && this.places().get(figure);
    this.#stage.overlay.replaceChildren(...(at ? [this.#gap(figure, at)] : []));
  }

  /**
   * @param {string} figure
   * @param {Point} at
   */
  #gap(figure, at) {
    const places = this.places().set(figure, at);
    const there = places.get(opposite(this.editor.doc, places, figure) ?? "");
    if (!there) return s("g");
    const look = { feet: prefs.feet, scale: this.#stage.scale };
    return gapMark(onDrawing(at, this.court), onDrawing(there, this.court), look);
  }

  /**
   * Where a figure is, in words: `attacker 1: left slot, 1.4 m from X1`.
   * @param {string} figure
   */
  said(figure) {
    const places = this.places();
    const at = places.get(figure) ?? /** @type {Point} */ ([0, 0]);
    const other = opposite(this.editor.doc, places, figure);
    const there = places.get(other ?? "");
    const gap = there ? `, ${lengthText(distanceM(at, there), prefs.feet)} from ${other}` : "";
    const named = placeOf(this.editor.doc, this.variant, figure);
    return `${kindOf(figure)} ${figure}: ${typeof named === "string" ? named : placeText(this.court.spots, at, prefs.feet)}${gap}`;
  }
}
