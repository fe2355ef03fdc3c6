/** The starts of a game: which one the board shows, and the list of the other ones. */

import { withVariant } from "../model/changes.js";
import { removeAt } from "../model/path.js";
import { startsText } from "../model/words.js";
import { h, newId, rows, setText } from "./dom.js";
import { numberField, textField, tickField } from "./fields.js";
import { group, section } from "./sections.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Variant } from "../types.js" */
/** @import { Board } from "./board.js" */
/** @import { Part } from "./fields.js" */

/**
 * Which start the board shows; nothing where there is only one.
 * @param {Editor<Game>} editor
 * @param {Board} board
 * @param {() => void} shown
 * @returns {Part}
 */
export function startSwitch(editor, board, shown) {
  const name = newId("start");
  const list = h("div", { class: "switch" });
  const element = h(
    "fieldset",
    { class: "starts" },
    h("legend", { class: "unseen" }, "Start shown on the board"),
    list,
  );
  const show = rows(list, (index) => {
    const input = h("input", { type: "radio", name, value: index });
    const text = h("span");
    input.addEventListener("change", () => (board.show(index === 0 ? null : index - 1), shown()));
    const label = h("label", {}, input, text);
    const update = (/** @type {string} */ said) => {
      setText(text, said);
      input.checked = index === (board.variant === null ? 0 : board.variant + 1);
    };
    return { element: label, update };
  });
  const update = () => {
    const { variants } = editor.doc.start;
    element.hidden = variants.length === 0;
    show(["the start", ...variants.map((variant, index) => variant.name || `start ${index + 2}`)]);
  };
  return { element, update };
}

/**
 * @param {Editor<Game>} editor
 * @param {Board} board
 * @returns {Part}
 */
export function startsSection(editor, board) {
  const holder = h("div", { class: "list" });
  const show = rows(holder, (index) => variantRow(editor, index));
  const add = (/** @type {boolean} */ mirror) => {
    editor.edit(withVariant(editor.doc, board.court, mirror));
    board.show(editor.doc.start.variants.length - 1);
    editor.dispatchEvent(new Event("change"));
  };
  const buttons = h(
    "p",
    { class: "buttons" },
    h("button", { type: "button", class: "add", onclick: () => add(true) }, "+ Add the mirror image"),
    h("button", { type: "button", class: "add", onclick: () => add(false) }, "+ Add another start"),
  );
  const note = h(
    "p",
    { class: "hint" },
    "Each possession begins from one of the starts, drawn by weight. Choose one above the board to move its figures.",
  );
  const list = {
    element: h("div", {}, note, holder, buttons),
    update: (/** @type {Game} */ game) => show(game.start.variants),
  };
  return section("Starts", startsText, [list], "start");
}

/**
 * @param {Editor<Game>} editor
 * @param {number} index
 */
function variantRow(editor, index) {
  const path = ["start", "variants", index];
  const parts = [
    textField(editor, { label: "name", path: [...path, "name"], max: 200, width: 18 }),
    numberField(editor, { label: "weight", path: [...path, "weight"] }),
    tickField(editor, { label: "mirror image", path: [...path, "mirror"] }),
  ];
  const moved = h("p", { class: "hint" });
  const remove = h(
    "button",
    { type: "button", onclick: () => editor.edit(removeAt(editor.doc, ["start", "variants"], index)) },
    "Remove",
  );
  const fields = group(`start ${index + 2}`, parts);
  const element = h(
    "div",
    { class: "item", "data-place": `start, variant ${index + 1}` },
    fields.element,
    moved,
    remove,
    h("p", { class: "problem", hidden: true }),
  );
  const update = (/** @type {Variant} */ variant) => {
    fields.update(editor.doc);
    const figures = variant.placements.map((item) => item.figure);
    setText(moved, figures.length ? `places of its own: ${figures.join(", ")}` : "stands as the start does");
  };
  return { element, update };
}
