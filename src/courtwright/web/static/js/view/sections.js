/** Fields put together: groups, parts that are only there when they mean something, sections that open. */

import { h, setText } from "./dom.js";
import { problemSlot } from "./fields.js";

/** @import { Part } from "./fields.js" */

/**
 * A group of fields under one name.
 * @param {string} name
 * @param {Part[]} parts
 * @returns {Part}
 */
export function group(name, parts) {
  const element = h(
    "div",
    { class: "fields", role: "group", "aria-label": name },
    ...parts.map((part) => part.element),
  );
  return { element, update: (doc) => parts.forEach((part) => part.update(doc)) };
}

/**
 * A part that is only there when it means something.
 * @param {(doc: any) => boolean} needed
 * @param {Part} part
 * @returns {Part}
 */
export function when(needed, part) {
  const update = (/** @type {any} */ doc) => {
    part.element.hidden = !needed(doc);
    part.update(doc);
  };
  return { element: part.element, update };
}

/**
 * A part of the sheet that opens: its name, one sentence on what stands inside, and the fields.
 * @param {string} name
 * @param {(doc: any) => string} sentence
 * @param {Part[]} parts
 * @param {string} [place]
 * @returns {Part}
 */
export function section(name, sentence, parts, place = "") {
  const said = h("span", { class: "said" });
  const summary = h("summary", {}, h("span", { class: "name" }, name), said);
  const slot = problemSlot(summary);
  const body = h("div", { class: "body" }, slot, ...parts.map((part) => part.element));
  const element = h("details", { class: "section", "data-place": place || undefined }, summary, body);
  const update = (/** @type {any} */ doc) => {
    setText(said, sentence(doc));
    parts.forEach((part) => part.update(doc));
  };
  return { element, update };
}
