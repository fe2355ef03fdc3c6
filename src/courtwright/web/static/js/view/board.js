/**
 * The true-to-scale board: the server's drawing, whose figures can be moved by mouse, touch and keys. It shows the
 * start of the game or a moment kept with it, and with a chosen row of the reading the drive of that row.
 *
 * The drawing is asked for again after each change. Between asking and answer, and while the server cannot be
 * reached, the figures already stand where they were put; lines that no longer fit are taken away.
 */

import { distanceM, keyStep, roundedCm, snapped, STEP_M } from "../model/geometry.js";
import { h, say } from "./dom.js";
import { Drawer } from "./drawer.js";
import { besideFigure, playedLayer } from "./layers.js";
import { gapMark, onDrawing, spotMarks } from "./overlay.js";
import { prefs } from "./prefs.js";
import { Speeds } from "./speeds.js";
import { onFigure, Stage } from "./stage.js";
import { allowed, saidOf } from "./subject.js";

/** @import { CourtLines, Place, Point } from "../types.js" */
/** @import { GameOnBoard, Subject } from "./subject.js" */

const ON_SPOT_M = 0.04; // keys leave a spot in steps; only a figure that stands on it takes its name
const REDRAW_MS = 60;

/** @typedef {{ figure: string, from: Point, hold: Point, at: Place, moved: boolean, pointer: number }} Drag */
/** @typedef {{ places: Map<string, Point>, ball: Point, gap: [string, string] | null }} Played */
/** @typedef {{ feet: boolean, scale: number, taken: Point[] }} Look */

export class Board {
  /** @type {(places: Map<string, Point>) => void} told where everyone stands while a figure is dragged */ moving = () => {};
  /** @type {() => void} told when a drag is given up */ givenUp = () => {};
  /** @type {() => void} told when a hand goes to a figure while a drive is played */ touched = () => {};
  /** @type {(places: Map<string, Point>, look: Look) => (SVGElement | null)[]} */ marks = () => [];
  /** @type {Played | null} */ #played = null;
  /** @type {Drag | null} */ #drag = null;
  /** @type {PointerEvent | null} */ #latest = null;
  #frame = 0;
  #stage = new Stage((figure) => saidOf(this.subject, figure));
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #redraw;
  #drawer = new Drawer();
  #speeds;
  #words = h("p", { class: "twin" });

  /**
   * @param {GameOnBoard} game
   * @param {AbortSignal} signal
   */
  constructor(game, signal) {
    this.game = game;
    /** @type {Subject} */ this.subject = game;
    const { svg, overlay } = this.#stage;
    this.#speeds = new Speeds(this.#stage, this);
    this.element = h("div", { class: "board-holder" }, svg);
    this.twin = h("details", { class: "in-words" }, h("summary", {}, "The drawing in words"), this.#words);
    svg.addEventListener("pointerdown", (event) => this.#down(event));
    svg.addEventListener("pointermove", (event) => this.#move(event));
    svg.addEventListener("pointerup", () => this.#up());
    svg.addEventListener("pointercancel", () => this.#giveUp());
    svg.addEventListener("keydown", (event) => this.#key(event));
    svg.addEventListener("focusin", () => this.#showGap());
    svg.addEventListener("focusout", () => {
      this.#speeds.show(undefined);
      if (!this.#played) overlay.replaceChildren();
    });
    prefs.addEventListener("change", () => this.update(), { signal });
    const watcher = new ResizeObserver(() => this.#settle());
    watcher.observe(this.element);
    signal.addEventListener("abort", () => watcher.disconnect());
  }

  /** @returns {CourtLines} */
  get court() {
    return this.subject.court;
  }

  get dragged() {
    return this.#drag?.moved === true;
  }

  get variant() {
    return this.game.variant;
  }

  /** @param {number | null} variant */
  show(variant) {
    this.game.variant = variant;
    this.update();
  }

  /** @param {Subject} subject */
  open(subject) {
    this.subject = subject;
    this.#drawer.drive = null;
    this.play(null);
    this.update();
  }

  /**
   * Draw the drive of a row, or the plain drawing again.
   * @param {Record<string, unknown> | null} drive what `/api/draw/moment` is asked beside the moment
   */
  draw(drive) {
    if (JSON.stringify(drive) === JSON.stringify(this.#drawer.drive)) return;
    this.#drawer.drive = drive;
    this.update();
  }

  /**
   * Show everyone where he is at one time of a drive; nothing puts all back where they stand.
   * @param {Played | null} played
   */
  play(played) {
    if (!played && !this.#played) return;
    this.#played = played;
    this.element.classList.toggle("played", played !== null);
    this.#settle();
  }

  /** Lay the marks again, and with them the gap of the figure that has the focus. */
  refresh() {
    this.mark();
    this.#showGap();
  }

  /** Show the document as it is now. */
  update() {
    if (this.#drag) return;
    this.subject.settle();
    this.#settle();
    clearTimeout(this.#redraw);
    this.#redraw = setTimeout(() => this.#ask(), REDRAW_MS);
  }

  async #ask() {
    const answer = await this.#drawer.ask(this.subject, this.#stage.empty);
    if (!answer || this.#drag) return;
    this.element.classList.toggle("stale", !answer.ok);
    if (!answer.drawn) return;
    this.#words.textContent = answer.drawn.querySelector("desc")?.textContent ?? "";
    this.#stage.take(answer.drawn);
    this.#settle();
  }

  /** Everything where it belongs, at the size of the screen. */
  #settle() {
    this.#stage.fit(this.court, prefs.feet);
    this.#stage.place(this.places(), this.court);
    this.#stage.fit(this.court, prefs.feet); // a figure that was borrowed needs its grip too
    this.mark();
    this.#showGap();
    if (this.#played) this.#show(this.#played);
  }

  /** @returns {Look} */
  get look() {
    return { feet: prefs.feet, scale: this.#stage.scale, taken: this.#stage.taken() };
  }

  /** @param {Played} played */
  #show(played) {
    for (const [figure, at] of played.places) this.#stage.put(figure, at, this.court);
    const ball = [...played.places.values()].reduce(
      (at, figure) => besideFigure(at, figure, this.#stage.scale),
      played.ball,
    );
    this.#stage.overlay.replaceChildren(playedLayer({ ...played, ball }, this.court, this.look));
  }

  /**
   * Lay the marks that belong to where everyone stands.
   * @param {Map<string, Point>} [places]
   */
  mark(places = this.places()) {
    const marks = this.#played ? [] : this.marks(places, this.look);
    this.#stage.marks.replaceChildren(...marks.filter((mark) => mark !== null));
  }

  /** Where everyone stands, in metres. */
  places() {
    return this.subject.places();
  }

  /** @param {PointerEvent} event */
  #down(event) {
    if (event.button !== 0 || this.#drag || !onFigure(event)) return;
    if (this.#played) return this.touched();
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
    this.#speeds.show(undefined);
    this.element.classList.add("dragging");
    const inside = allowed(this.court, drag.figure, wanted);
    drag.at = this.#latest.altKey ? roundedCm(inside) : snapped(this.court.spots, inside);
    const point = typeof drag.at === "string" ? this.court.spots[drag.at] : drag.at;
    this.#stage.put(drag.figure, point, this.court);
    this.#stage.under.replaceChildren(spotMarks(this.court, drag.at));
    const places = this.places().set(drag.figure, point);
    this.mark(places);
    this.#stage.overlay.replaceChildren(...this.#gap(drag.figure, point));
    this.moving(places);
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
    this.subject.put(drag.figure, drag.at);
    say(saidOf(this.subject, drag.figure));
  }

  #giveUp() {
    if (!this.#drag) return;
    this.#letGo();
    this.givenUp();
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

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.key === "Escape" && this.#drag) return this.#giveUp();
    const figure = this.#stage.focused;
    const step = keyStep(event);
    const from = figure && this.places().get(figure);
    if (!step || !from) return;
    event.preventDefault();
    if (this.#played) this.touched();
    const inside = allowed(this.court, figure, [from[0] + step[0], from[1] + step[1]]);
    const at = snapped(this.court.spots, inside, ON_SPOT_M);
    this.subject.put(figure, at, `move:${figure}`);
    say(saidOf(this.subject, figure));
  }

  /** A drive that is drawn has its own gaps, laid clear of its words. */
  #showGap() {
    this.#speeds.show(this.#played ? undefined : this.#stage.focused);
    if (this.#played) return;
    const figure = this.#drawer.drive ? undefined : this.#stage.focused;
    const at = figure && this.places().get(figure);
    this.#stage.overlay.replaceChildren(...(at ? this.#gap(figure, at) : []));
  }

  /**
   * The gap of one figure, where it is not marked already.
   * @param {string} figure
   * @param {Point} at
   * @returns {SVGElement[]}
   */
  #gap(figure, at) {
    const places = this.places().set(figure, at);
    const there = places.get(this.subject.opposite(places, figure) ?? "");
    if (!there || this.#stage.marks.querySelector(".gaps")) return [];
    return [gapMark(onDrawing(at, this.court), onDrawing(there, this.court), this.look)];
  }
}
