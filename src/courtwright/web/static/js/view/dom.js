/** Elements without markup in strings: text is always text. */

/** @typedef {Node | string | number | null | undefined | false} Child */
/** @typedef {Record<string, any>} Props */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Props} [props] attributes; `onclick` and the like are listeners, `true` is a bare attribute
 * @param {...(Child | Child[])} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function h(tag, props = {}, ...children) {
  return dressed(document.createElement(tag), props, children);
}

/**
 * @template {keyof SVGElementTagNameMap} K
 * @param {K} tag
 * @param {Props} [props]
 * @param {...(Child | Child[])} children
 * @returns {SVGElementTagNameMap[K]}
 */
export function s(tag, props = {}, ...children) {
  return dressed(document.createElementNS(SVG, tag), props, children);
}

/**
 * @template {Element} E
 * @param {E} element
 * @param {Props} props
 * @param {(Child | Child[])[]} children
 * @returns {E}
 */
function dressed(element, props, children) {
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  element.append(
    ...children
      .flat()
      .filter(isThere)
      .map((child) => (typeof child === "number" ? String(child) : child)),
  );
  return element;
}

/**
 * @param {Child} child
 * @returns {child is Node | string | number}
 */
function isThere(child) {
  return child !== null && child !== undefined && child !== false && child !== "";
}

/**
 * The element with that id; a page without it is a mistake of ours.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has no #${id}`);
  return element;
}

/**
 * Write text only where it differs, so that nothing is read out or repainted twice.
 * @param {Element} element
 * @param {string} text
 */
export function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/**
 * Keep one row of elements per item. Rows are updated in place, so focus and half-typed text stay where they are.
 * @template T
 * @param {Element} holder
 * @param {(index: number) => { element: Element, update: (item: T) => void }} make
 * @returns {(items: readonly T[]) => void}
 */
export function rows(holder, make) {
  /** @type {ReturnType<typeof make>[]} */
  const kept = [];
  return (items) => {
    while (kept.length > items.length) kept.pop()?.element.remove();
    items.forEach((item, index) => {
      if (!kept[index]) {
        kept[index] = make(index);
        holder.append(kept[index].element);
      }
      kept[index].update(item);
    });
  };
}

/**
 * Draw a part anew and give the focus back to what had it; such elements carry a `data-key`.
 * @param {Element} holder
 * @param {() => void} draw
 */
export function keepFocus(holder, draw) {
  const active = document.activeElement;
  const key = active instanceof HTMLElement && holder.contains(active) ? active.dataset.key : undefined;
  draw();
  if (!key) return;
  /** @type {HTMLElement | null} */ (holder.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus({
    preventScroll: true,
  });
}

/**
 * Draw a part anew and leave open what was open, the focus where it was; such elements carry a `data-key`.
 * @param {Element} holder
 * @param {() => void} draw
 */
export function keepOpen(holder, draw) {
  const open = [...holder.querySelectorAll("details[open][data-key]")].map((part) => part.getAttribute("data-key"));
  const active = document.activeElement;
  const key = active && holder.contains(active) ? active.closest("details")?.dataset.key : undefined;
  draw();
  for (const part of /** @type {NodeListOf<HTMLDetailsElement>} */ (holder.querySelectorAll("details[data-key]"))) {
    part.open = open.includes(part.dataset.key ?? "");
    if (key && part.dataset.key === key) part.querySelector("summary")?.focus({ preventScroll: true });
  }
}

let numbered = 0;

/** @param {string} stem */
export function newId(stem) {
  numbered += 1;
  return `${stem}-${numbered}`;
}

/** @type {ReturnType<typeof setTimeout> | undefined} */
let speaking;

/**
 * Have a screen reader say something, once things have come to rest.
 * @param {string} text
 * @param {number} [rest_ms]
 */
export function say(text, rest_ms = 150) {
  clearTimeout(speaking);
  speaking = setTimeout(() => setText(byId("say"), text), rest_ms);
}

/**
 * The drawing in an answer of the server, as elements of this page; nothing if it is not a drawing.
 * @param {string} text
 * @returns {SVGSVGElement | null}
 */
export function drawing(text) {
  if (!text) return null;
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (parsed.namespaceURI !== SVG || parsed.localName !== "svg") return null;
  for (const foreign of parsed.querySelectorAll("script, style, foreignObject")) foreign.remove();
  return /** @type {SVGSVGElement} */ (/** @type {unknown} */ (document.importNode(parsed, true)));
}

const ENOUGH = 0.7; // of the element

/** Bring something into sight, where most of it is out of it. @param {HTMLElement} element */
export function appear(element) {
  const { top, bottom, height } = element.getBoundingClientRect();
  const seen_px = Math.min(bottom, innerHeight) - Math.max(top, 0);
  if (seen_px < ENOUGH * Math.min(height, innerHeight)) element.scrollIntoView({ block: "start" });
}
