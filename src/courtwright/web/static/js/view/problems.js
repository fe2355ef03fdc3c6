/** Problems beside the fields they are about, and all of them in one list that leads there. */

import { problemText, sentenceCase } from "../model/words.js";
import { h } from "./dom.js";

/** @import { Problem } from "../types.js" */

/** @typedef {(place: string) => string} Locate from a place in the server's words to the mark of a field */

/** @type {Locate} */
const asItIs = (place) => place;

/**
 * The element that stands for a place, or for the nearest part around it.
 * @param {ParentNode} page
 * @param {string} place such as `start, placement 3, at`
 * @returns {HTMLElement | null}
 */
export function elementAt(page, place) {
  const words = place.split(", ");
  const marked = /** @type {HTMLElement[]} */ ([...page.querySelectorAll("[data-place]")]);
  for (let length = words.length; length > 0; length -= 1) {
    const wanted = words.slice(0, length).join(", ");
    const found = marked.find((element) => element.dataset.place === wanted);
    if (found) return found;
  }
  return null;
}

/**
 * @param {ParentNode} page
 * @param {Problem[]} problems
 * @param {Locate} [locate]
 */
export function showProblems(page, problems, locate = asItIs) {
  for (const slot of /** @type {NodeListOf<HTMLElement>} */ (page.querySelectorAll("p.problem:not([hidden])"))) {
    slot.hidden = true;
    slot.textContent = "";
  }
  for (const input of page.querySelectorAll("[aria-invalid]")) input.removeAttribute("aria-invalid");
  for (const problem of problems) mark(page, problem, locate);
}

/**
 * @param {ParentNode} page
 * @param {Problem} problem
 * @param {Locate} locate
 */
function mark(page, problem, locate) {
  const holder = elementAt(page, locate(problem.place));
  const slot = holder?.querySelector("p.problem");
  if (!holder || !(slot instanceof HTMLElement)) return;
  slot.textContent = [slot.textContent, problemText(problem)].filter(Boolean).join(" ");
  slot.hidden = false;
  holder.querySelector("input, select, textarea")?.setAttribute("aria-invalid", "true");
}

/**
 * Every problem as a line that leads to its field.
 * @param {ParentNode} page
 * @param {Problem[]} problems
 * @param {Locate} [locate]
 */
export function problemList(page, problems, locate = asItIs) {
  return h("ul", { class: "problems" }, ...problems.map((problem) => h("li", {}, problemLine(page, problem, locate))));
}

/**
 * @param {ParentNode} page
 * @param {Problem} problem
 * @param {Locate} locate
 */
function problemLine(page, problem, locate) {
  const what = problem.place ? `${sentenceCase(problem.place)}: ${problem.what}` : sentenceCase(problem.what);
  const text = [`${what}. `, problem.mend];
  const holder = elementAt(page, locate(problem.place));
  return holder
    ? h("button", { type: "button", class: "link", onclick: () => goTo(holder) }, text)
    : h("span", {}, text);
}

/** @param {HTMLElement} holder */
export function goTo(holder) {
  for (let node = /** @type {HTMLElement | null} */ (holder); node; node = node.parentElement) {
    if (node instanceof HTMLDetailsElement) node.open = true;
  }
  /** @type {HTMLElement | null} */
  const target = holder.querySelector("input, select, textarea, button, summary");
  target?.focus();
  target?.scrollIntoView({ block: "center" });
}
