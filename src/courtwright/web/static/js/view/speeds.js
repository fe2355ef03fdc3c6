/** How a figure of a moment runs: a knob ahead of the one that has the focus, pulled out to make it faster; keys do too. */

import { distanceM } from "../model/geometry.js";
import { MOST_M_PER_S, movingAt, speedOf, withSpeed } from "../model/moment.js";
import { s, say } from "./dom.js";
import { boardLabel, onDrawing } from "./overlay.js";
import { MomentOnBoard, saidOf } from "./subject.js";

/** @import { MomentFigure, Point } from "../types.js" */
/** @import { Board } from "./board.js" */
/** @import { Stage } from "./stage.js" */

const SHOWN_S = 0.35; // an arrow of the drawing is as long as the way of so many seconds
const EDGE_M = 0.95; // from a figure to the knob of one who stands
const LEAST_M_PER_S = 0.5; // slower is standing
const STEP_M_PER_S = 0.5;
const HIT_PX = 18;
const KNOB_M = 0.14;
const FIGURE_M = 0.45;
const WORDS_M = 0.8;
/** @type {Record<string, number>} */
const KEYS = { "+": 1, "=": 1, "-": -1, "−": -1 };

/**
 * The knob stands ahead of the figure; one that stands has it where it would run to.
 * @param {Map<string, Point>} places
 * @param {MomentFigure} item
 * @param {number} scale
 * @returns {Point} metres
 */
function knobAt(places, item, scale) {
  const here = places.get(item.figure) ?? /** @type {Point} */ ([0, 0]);
  const speed = speedOf(item.moving_m_per_s);
  const [x, y] = speed > 0 ? item.moving_m_per_s : withSpeed(places, item, 1);
  const length = Math.hypot(x, y) || 1;
  const away_m = EDGE_M * scale + SHOWN_S * speed;
  return [here[0] + (x / length) * away_m, here[1] + (y / length) * away_m];
}

/**
 * @param {Point} here
 * @param {Point} knob
 * @param {number} scale
 * @returns {Point} the velocity a knob stands for, to the tenth
 */
function movingOf(here, knob, scale) {
  const speed = (distanceM(here, knob) - EDGE_M * scale) / SHOWN_S;
  if (speed < LEAST_M_PER_S) return [0, 0];
  return movingAt(here, knob, Math.min(MOST_M_PER_S, Math.round(speed * 10) / 10));
}

export class Speeds {
  element = s("g", { class: "speeds", "aria-hidden": "true" });
  /** @type {string | undefined} whose knob is shown */ #figure;
  #pulling = false;

  /**
   * @param {Stage} stage
   * @param {Board} board
   */
  constructor(stage, board) {
    this.stage = stage;
    this.board = board;
    const { element } = this;
    element.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false }); // keeps the page still
    element.addEventListener("pointerdown", (event) => this.#take(event));
    element.addEventListener("pointermove", (event) => this.#pulling && this.#pull(stage.metres(event, board.court)));
    element.addEventListener("pointerup", () => this.#letGo(true));
    element.addEventListener("pointercancel", () => this.#letGo(false));
    stage.svg.addEventListener("keydown", (event) => this.#key(event));
    stage.svg.append(element);
  }

  /**
   * Show the knob of a figure, or none.
   * @param {string | undefined} figure
   */
  show(figure) {
    if (this.#pulling) return;
    this.#figure = figure;
    this.#draw();
  }

  /** @returns {MomentOnBoard | null} the start of a game has no speeds */
  get #moment() {
    return this.board.subject instanceof MomentOnBoard ? this.board.subject : null;
  }

  /** @returns {MomentFigure | undefined} */
  get #item() {
    const { figures } = this.#moment?.moment(this.board.places()) ?? { figures: [] };
    return figures.find((one) => one.figure === this.#figure);
  }

  #draw() {
    const item = this.#item;
    this.element.replaceChildren(...(item ? this.#marks(item) : []));
    if (this.#pulling) this.stage.svg.querySelector(`[data-runs="${this.#figure}"]`)?.setAttribute("visibility", "hidden");
  }

  /** @param {MomentFigure} item */
  #marks(item) {
    const { scale, px_per_m } = this.stage;
    const { court } = this.board;
    const [x, y] = onDrawing(/** @type {Point} */ (item.at), court);
    const [cx, cy] = onDrawing(knobAt(this.board.places(), item, scale), court);
    const length = Math.hypot(cx - x, cy - y);
    const ahead = (/** @type {number} */ by_m) =>
      /** @type {Point} */ ([x + ((cx - x) / length) * by_m, y + ((cy - y) / length) * by_m]);
    const words = `${speedOf(item.moving_m_per_s).toFixed(1)} m/s`;
    return [
      s("path", { class: "way", d: `M${ahead(FIGURE_M * scale)}L${ahead(length - KNOB_M * scale)}` }),
      s("circle", { class: "hit", cx, cy, r: HIT_PX / px_per_m }),
      s("circle", { class: "knob", cx, cy, r: KNOB_M * scale }),
      ...(this.#pulling || speedOf(item.moving_m_per_s) > 0 ? [boardLabel(ahead(length + WORDS_M * scale), words)] : []),
    ];
  }

  /** @param {PointerEvent} event */
  #take(event) {
    if (event.button !== 0 || !this.#figure) return;
    event.preventDefault(); // the figure keeps the focus
    this.element.setPointerCapture(event.pointerId);
    this.#pulling = true;
  }

  /** @param {Point} point the reading follows; nothing is kept yet */
  #pull(point) {
    const moment = this.#moment;
    const here = this.board.places().get(this.#figure ?? "");
    if (!moment || !here || !this.#figure) return;
    moment.pulled = { figure: this.#figure, moving: movingOf(here, point, this.stage.scale) };
    this.#draw();
    this.board.moving(this.board.places());
  }

  /** @param {boolean} keep what the hand has set, or leave it as it was */
  #letGo(keep) {
    const moment = this.#moment;
    if (!this.#pulling) return;
    this.#pulling = false;
    const run = moment?.pulled;
    if (moment) moment.pulled = null;
    if (!keep || !moment || !run) {
      this.stage.svg.querySelector(`[data-runs="${this.#figure}"]`)?.removeAttribute("visibility");
      this.#draw();
      return this.board.givenUp();
    }
    moment.run(run.figure, run.moving);
    say(saidOf(moment, run.figure));
  }

  /** @param {KeyboardEvent} event `+` and `−`: faster and slower the same way */
  #key(event) {
    if (event.key === "Escape") return this.#letGo(false);
    const moment = this.#moment;
    const item = this.#item;
    const way = KEYS[event.key];
    if (!way || !moment || !item || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const speed = (Math.round(speedOf(item.moving_m_per_s) / STEP_M_PER_S) + way) * STEP_M_PER_S;
    const wanted = Math.max(0, Math.min(MOST_M_PER_S, speed));
    moment.run(item.figure, withSpeed(this.board.places(), item, wanted), `speed:${item.figure}`);
    say(saidOf(moment, item.figure));
  }
}
