/** The drawing on the board: the server's ground, figures that keep their focus, and an overlay of our own. */

import { kindOf } from "../model/game.js";
import { s } from "./dom.js";
import { FOOT_STRIP_M, onDrawing, ruleBar } from "./overlay.js";

/** @import { CourtLines, Point } from "../types.js" */

const FIGURE_M = 0.42;
const FIGURE_PX = 12; // a figure on a phone is drawn larger than its scale, its centre stays true
const REACH_PX = 24;
const NAME_M = 0.3; // half of what a defender's name takes

/** @param {Event} event */
export function onFigure(event) {
  return event.target instanceof Element && event.target.closest("[data-figure]") !== null;
}

export class Stage {
  scale = 1;
  px_per_m = 50;
  #ground = s("g", { class: "ground" });
  #figures = s("g", { class: "figures" });
  #bar = s("g", { "aria-hidden": "true" });
  layer = s("g", { class: "layer", "aria-hidden": "true" });
  marks = s("g", { class: "marks", "aria-hidden": "true" });
  under = s("g", { class: "under", "aria-hidden": "true" });
  overlay = s("g", { class: "overlay", "aria-hidden": "true" });
  svg = s(
    "svg",
    {
      class: "courtwright-drawing board",
      role: "application",
      "aria-label": "Board",
      "aria-describedby": "board-help",
    },
    this.#ground,
    this.#bar,
    this.marks,
    this.under,
    this.#figures,
    this.overlay,
  );
  /** @type {(figure: string) => string} */ #say;

  /** @param {(figure: string) => string} say where a figure is, in words */
  constructor(say) {
    this.#say = say;
    // some browsers heed touch-action on the parts of a drawing only now and then; this keeps the page still for certain
    this.svg.addEventListener("touchstart", (event) => void (onFigure(event) && event.preventDefault()), { passive: false });
  }

  /**
   * @param {string} name
   * @returns {SVGGElement | null}
   */
  figure(name) {
    return this.#figures.querySelector(`[data-figure="${CSS.escape(name)}"]`);
  }

  /** Where words would lie on something: the middles of the figures and of their names, on the drawing. */
  taken() {
    return [...this.#figures.children].flatMap((figure) => {
      const at = placed(/** @type {SVGGElement} */ (figure));
      const name = /** @type {SVGTextElement | null} */ (figure.querySelector(".label"));
      if (!at || !name) return at ? [at] : [];
      const [x, y] = placed(name) ?? [0, 0];
      const aside = { start: 1, end: -1 }[name.getAttribute("text-anchor") ?? ""] ?? 0;
      const middle = /** @type {Point} */ ([at[0] + this.scale * (x + aside * NAME_M), at[1] + this.scale * (y - NAME_M / 2)]);
      return [at, middle];
    });
  }

  get empty() {
    return this.#figures.childElementCount === 0;
  }

  /** @returns {string | undefined} the figure that has the focus */
  get focused() {
    const active = document.activeElement;
    return active instanceof SVGElement && this.#figures.contains(active) ? active.dataset.figure : undefined;
  }

  /**
   * Take a new drawing. The looks of a figure go into the element that is there already, so that it keeps the focus.
   * @param {SVGSVGElement} drawn
   */
  take(drawn) {
    for (const name of ["color", "stroke-linecap", "stroke-linejoin"])
      this.svg.setAttribute(name, drawn.getAttribute(name) ?? "");
    const { x, y, width, height } = drawn.viewBox.baseVal;
    this.svg.setAttribute("viewBox", `${x} ${y} ${width} ${height + FOOT_STRIP_M}`);
    for (const element of /** @type {NodeListOf<SVGGElement>} */ (drawn.querySelectorAll("[data-figure]"))) {
      const here = this.figure(element.dataset.figure ?? "");
      element.remove();
      if (here) here.replaceChildren(...element.children);
      else this.#figures.append(handle(element));
    }
    this.#ground.replaceChildren(...[...drawn.children].filter((part) => !["title", "desc"].includes(part.localName)));
    this.#ground.querySelector(".floor")?.after(this.layer); // on the floor, under its lines
  }

  /**
   * Put every figure where the document has it; one the drawing does not know yet borrows the looks of its kind.
   * @param {Map<string, Point>} places
   * @param {CourtLines} court
   */
  place(places, court) {
    for (const element of /** @type {SVGGElement[]} */ ([...this.#figures.children])) {
      if (!places.has(element.dataset.figure ?? "")) element.remove();
    }
    for (const [name, at] of places) {
      if (!this.figure(name)) this.#borrow(name);
      this.put(name, at, court);
      this.figure(name)?.setAttribute("aria-label", this.#say(name));
    }
  }

  /**
   * @param {string} name
   * @param {Point} at
   * @param {CourtLines} court
   */
  put(name, at, court) {
    const [x, y] = onDrawing(at, court);
    this.figure(name)?.setAttribute(
      "transform",
      `translate(${x.toFixed(4)} ${y.toFixed(4)}) scale(${this.scale.toFixed(3)})`,
    );
  }

  /** @param {string} name */
  #borrow(name) {
    const like = this.#figures.querySelector(`.${kindOf(name)}`);
    if (!like) return;
    const twin = /** @type {SVGGElement} */ (like.cloneNode(true));
    twin.querySelector(".ball")?.remove();
    twin.dataset.figure = name;
    const text = twin.querySelector("text");
    if (text) text.textContent = name;
    this.#figures.append(handle(twin));
  }

  /**
   * Figures stay readable and easy to hit on a small screen.
   * @param {CourtLines} court
   * @param {boolean} feet
   */
  fit(court, feet) {
    const box = this.svg.viewBox.baseVal;
    if (!box?.width || !this.svg.clientWidth) return;
    const px_per_m = Math.min(this.svg.clientWidth / box.width, this.svg.clientHeight / box.height);
    this.px_per_m = px_per_m;
    this.scale = Math.max(1, FIGURE_PX / (FIGURE_M * px_per_m));
    this.svg.style.setProperty("--scale", this.scale.toFixed(3));
    this.#bar.replaceChildren(ruleBar(box, court.name, { feet, scale: this.scale }));
    const reach_m = Math.max(REACH_PX / px_per_m / this.scale, FIGURE_M * 1.1);
    for (const element of this.#figures.children) {
      element.querySelector(".grip")?.remove();
      element.prepend(s("circle", { class: "grip", r: reach_m }));
      fitRing(element.querySelector(".vary"), this.scale);
    }
  }

  /**
   * Where a pointer is, in the document's metres.
   * @param {PointerEvent} event
   * @param {CourtLines} court
   * @returns {Point}
   */
  metres(event, court) {
    const inverse = this.svg.getScreenCTM()?.inverse();
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(inverse);
    return [x, y + court.end_line_y_m];
  }
}

/**
 * The ring of a start that varies stays true to scale; one that would lie on the figure's number is left out.
 * @param {Element | null} ring
 * @param {number} scale
 */
function fitRing(ring, scale) {
  ring?.setAttribute("transform", `scale(${1 / scale})`);
  ring?.setAttribute("visibility", Number(ring.getAttribute("r")) < FIGURE_M * scale ? "hidden" : "visible");
}

/**
 * @param {SVGGraphicsElement} element
 * @returns {Point | null}
 */
function placed(element) {
  const moved = element.transform.baseVal;
  return moved.numberOfItems ? [moved.getItem(0).matrix.e, moved.getItem(0).matrix.f] : null;
}

/** @param {SVGGElement} element */
function handle(element) {
  element.setAttribute("tabindex", "0");
  element.setAttribute("role", "img");
  element.setAttribute("aria-roledescription", "movable figure");
  return element;
}
