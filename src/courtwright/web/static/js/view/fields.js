/**
 * Fields bound to a place in the document. What is typed goes into the document as it is typed, numbers that
 * are none included: the server judges, the draft keeps it, and the problem stands beside the field.
 */

import { getAt, same, setAt } from "../model/path.js";
import { h, newId } from "./dom.js";

/** @import { Editor } from "../editor.js" */
/** @import { Path } from "../model/path.js" */
/** @import { Child } from "./dom.js" */

/** @typedef {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} Input */
/** @typedef {{ element: HTMLElement, update: (doc: any) => void }} Part */

/**
 * @typedef {object} Spec
 * @property {string} label
 * @property {Path} path
 * @property {string} [place] where the server says this is, such as `ending, reset_s`; from the path if left out
 * @property {string} [hint]
 * @property {string} [unit]
 * @property {boolean} [quiet] label for screen readers only
 * @property {number} [width] in characters
 * @property {(doc: any, value: any) => any} [set] instead of writing the value at the path
 * @property {(doc: any) => any} [get]
 */

/**
 * @param {Editor<any>} editor
 * @param {Spec & { long?: boolean, max?: number, placeholder?: string }} spec
 * @returns {Part}
 */
export function textField(editor, spec) {
  const input = spec.long
    ? h("textarea", { rows: 1, maxlength: spec.max, placeholder: spec.placeholder })
    : h("input", {
        type: "text",
        maxlength: spec.max,
        size: spec.width,
        placeholder: spec.placeholder,
        autocomplete: "off",
      });
  return bound(editor, spec, input, { parse: (text) => text, format: (value) => value ?? "" });
}

/**
 * A piece of the document as JSON; text that is none stays as typed.
 * @param {Editor<any>} editor
 * @param {Spec} spec
 * @returns {Part}
 */
export function jsonField(editor, spec) {
  const input = h("textarea", { rows: 3, class: "code", spellcheck: "false" });
  return bound(editor, spec, input, {
    parse: parsedJson,
    format: (value) => (typeof value === "string" ? value : JSON.stringify(value, null, 1)),
  });
}

/** @param {string} text */
function parsedJson(text) {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

/**
 * @param {Editor<any>} editor
 * @param {Spec & { optional?: boolean }} spec
 * @returns {Part}
 */
export function numberField(editor, spec) {
  const input = h("input", {
    type: "text",
    inputmode: "decimal",
    size: spec.width ?? 4,
    class: "number",
    autocomplete: "off",
  });
  const empty = spec.optional ? null : "";
  return bound(editor, spec, input, {
    parse: (text) => parsedNumber(text, empty),
    format: (value) => (value === null || value === undefined ? "" : String(value)),
  });
}

/**
 * @param {string} text
 * @param {null | ""} [empty]
 * @returns {number | string | null}
 */
export function parsedNumber(text, empty = "") {
  const typed = text.trim().replace(",", ".").replace("−", "-");
  if (!typed) return empty;
  return Number.isFinite(Number(typed)) ? Number(typed) : text.trim();
}

/**
 * @param {Editor<any>} editor
 * @param {Spec & { options: (doc: any) => (readonly [string | null, string])[] }} spec
 * @returns {Part}
 */
export function choiceField(editor, spec) {
  const select = h("select", {});
  const part = bound(editor, spec, select, {
    parse: (text) => (text === "" ? null : text),
    format: (value) => value ?? "",
  });
  return { element: part.element, update: (doc) => (fillOptions(select, spec.options(doc)), part.update(doc)) };
}

/**
 * @param {HTMLSelectElement} select
 * @param {(readonly [string | null, string])[]} options
 */
export function fillOptions(select, options) {
  const now = [...select.options].map((option) => [option.value, option.text]);
  if (
    same(
      now,
      options.map(([value, text]) => [value ?? "", text]),
    )
  )
    return;
  select.replaceChildren(...options.map(([value, text]) => h("option", { value: value ?? "" }, text)));
}

/**
 * @param {Editor<any>} editor
 * @param {Spec} spec
 * @returns {Part}
 */
export function tickField(editor, spec) {
  const input = h("input", { type: "checkbox" });
  const { get, set } = ways(spec);
  input.addEventListener("change", () => editor.edit(set(editor.doc, input.checked)));
  const label = h("label", { class: "tick" }, input, " ", spec.label);
  const update = (/** @type {any} */ doc) => void (input.checked = Boolean(get(doc)));
  return { element: withProblem(label, input, spec), update };
}

/** @param {Spec} spec */
function ways(spec) {
  return {
    get: spec.get ?? ((/** @type {any} */ doc) => getAt(doc, spec.path)),
    set: spec.set ?? ((/** @type {any} */ doc, /** @type {any} */ value) => setAt(doc, spec.path, value)),
  };
}

/**
 * @param {Editor<any>} editor
 * @param {Spec} spec
 * @param {Input} input
 * @param {{ parse: (text: string) => any, format: (value: any) => string }} words
 * @returns {Part}
 */
function bound(editor, spec, input, { parse, format }) {
  const { get, set } = ways(spec);
  const key = `${spec.path.join(".")}:${spec.label}`;
  const typing = !(input instanceof HTMLSelectElement);
  input.addEventListener(typing ? "input" : "change", () =>
    editor.edit(set(editor.doc, parse(input.value)), typing ? key : ""),
  );
  if (typing) input.addEventListener("blur", () => editor.seal());
  const update = (/** @type {any} */ doc) => {
    const value = get(doc);
    if (!same(parse(input.value), value)) input.value = format(value);
    else if (document.activeElement !== input) input.value = format(value); // `7,` is 7 once one has left the field
  };
  return { element: labelled(input, spec), update };
}

/**
 * @param {Input} input
 * @param {Spec} spec
 */
function labelled(input, spec) {
  input.id ||= newId("field");
  const label = h("label", { for: input.id, class: spec.quiet ? "unseen" : "" }, spec.label);
  const unit = spec.unit ? h("span", { class: "unit" }, spec.unit) : null;
  const hint = spec.hint ? h("p", { class: "hint", id: `${input.id}-hint` }, spec.hint) : null;
  if (hint) input.setAttribute("aria-describedby", hint.id);
  const line = h("span", { class: "entry" }, input, unit);
  return withProblem(h("div", { class: "pair" }, label, line), input, spec, hint);
}

/**
 * @param {HTMLElement} body
 * @param {Input} input
 * @param {Spec} spec
 * @param {Child} [hint]
 */
function withProblem(body, input, spec, hint) {
  input.id ||= newId("field");
  return h(
    "div",
    { class: "field", "data-place": spec.place ?? placeOfPath(spec.path) },
    body,
    hint,
    problemSlot(input),
  );
}

/**
 * An empty line that a problem will fill, tied to its field.
 * @param {HTMLElement} input
 */
export function problemSlot(input) {
  const slot = h("p", { class: "problem", id: newId("problem"), hidden: true });
  const described = input.getAttribute("aria-describedby");
  input.setAttribute("aria-describedby", [described, slot.id].filter(Boolean).join(" "));
  return slot;
}

/** @type {Record<string, string>} */
const COUNTED = { points: "point rule", easier: "easier, step", harder: "harder, step" };

/**
 * A path as the server names it: `constraints 0 limit` is `constraint 1, limit`.
 * @param {Path} path
 */
export function placeOfPath(path) {
  /** @type {string[]} */
  const words = [];
  for (const part of path) {
    const last = words.at(-1) ?? "";
    if (typeof part === "number") words[words.length - 1] = `${COUNTED[last] ?? last.replace(/s$/, "")} ${part + 1}`;
    else words.push(part);
  }
  return words.join(", ");
}
