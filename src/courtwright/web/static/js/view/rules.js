/** Constraints and point rules as chips: what it says, what it costs or pays, and whether the trial plays it. */

import { appendAt, removeAt, setAt } from "../model/path.js";
import { constraintText, costOf, playedText, pointText, signed } from "../model/words.js";
import { h, rows, setText } from "./dom.js";
import { constraintDialog, pointDialog } from "./rule_dialog.js";
import { sideMark } from "./signs.js";

/** @import { Editor } from "../editor.js" */
/** @import { Constraint, Game, PointRule, Vocabulary } from "../types.js" */

/** @typedef {{ side: string, text: string, price: string, good: boolean, eye: string }} ChipText */

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
export function constraintChips(editor, vocabulary) {
  const kinds = new Map(vocabulary.constraints.map((kind) => [kind.key, kind]));
  const dialog = constraintDialog(editor, vocabulary);
  return chips("Constraints", "constraints", {
    items: (game) => game.constraints,
    place: (index) => `constraint ${index + 1}`,
    none: "No constraint: anything goes.",
    add: "Add a constraint",
    text: (/** @type {Constraint} */ item) => {
      const kind = kinds.get(item.rule);
      const price = `→ ${costOf(kind, item)}`;
      return { side: kind?.side ?? "", text: constraintText(kind, item), price, good: false, eye: playedText(kind, item.figure) };
    },
    open: (index) =>
      dialog.open(index === null ? null : editor.doc.constraints[index], {
        done: (item) => editor.edit(put(editor.doc, "constraints", index, item)),
        remove: () => index !== null && editor.edit(removeAt(editor.doc, ["constraints"], index)),
      }),
    dialog: dialog.element,
  });
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
export function pointChips(editor, vocabulary) {
  const kinds = new Map(vocabulary.points.map((kind) => [kind.key, kind]));
  const dialog = pointDialog(editor, vocabulary);
  return chips("Points", "points", {
    items: (game) => game.points,
    place: (index) => `point rule ${index + 1}`,
    none: "Nothing scores yet.",
    add: "Add a point rule",
    text: (/** @type {PointRule} */ item) => {
      const kind = kinds.get(item.rule);
      const price = kind?.by_court ? `×${item.points}` : signed(item.points);
      return {
        side: item.to ?? kind?.side ?? "",
        text: pointText(kind, item),
        price,
        good: true,
        eye: [playedText(kind), kind?.caution].filter(Boolean).join(". "),
      };
    },
    open: (index) =>
      dialog.open(index === null ? null : editor.doc.points[index], {
        done: (item) => editor.edit(put(editor.doc, "points", index, item)),
        remove: () => index !== null && editor.edit(removeAt(editor.doc, ["points"], index)),
      }),
    dialog: dialog.element,
  });
}

/**
 * @param {Game} game
 * @param {"constraints" | "points"} list
 * @param {number | null} index
 * @param {unknown} item
 */
function put(game, list, index, item) {
  return index === null ? appendAt(game, [list], item) : setAt(game, [list, index], item);
}

/**
 * @param {string} name
 * @param {string} place
 * @param {object} ways
 * @param {(game: Game) => any[]} ways.items
 * @param {(index: number) => string} ways.place
 * @param {string} ways.none
 * @param {string} ways.add
 * @param {(item: any) => ChipText} ways.text
 * @param {(index: number | null) => void} ways.open
 * @param {HTMLElement} ways.dialog
 */
function chips(name, place, ways) {
  const list = h("ul", { class: "chips" });
  const none = h("p", { class: "none" }, ways.none);
  const add = h("button", { type: "button", class: "add", onclick: () => ways.open(null) }, `+ ${ways.add}`);
  const slot = h("p", { class: "problem", hidden: true });
  const show = rows(list, (index) => chip(index, ways));
  const element = h(
    "section",
    { class: "rules", "data-place": place },
    h("h2", {}, name),
    slot,
    list,
    none,
    add,
    ways.dialog,
  );
  const update = (/** @type {Game} */ game) => {
    none.hidden = ways.items(game).length > 0;
    show(ways.items(game));
  };
  return { element, update };
}

/**
 * @param {number} index
 * @param {Parameters<typeof chips>[2]} ways
 */
function chip(index, ways) {
  const mark = h("span", { class: "mark" });
  const text = h("span", { class: "text" });
  const price = h("span", { class: "price" });
  const eye = h("span", { class: "eye" });
  const button = h(
    "button",
    { type: "button", class: "chip", onclick: () => ways.open(index) },
    mark,
    text,
    price,
    eye,
  );
  const slot = h("p", { class: "problem", hidden: true });
  const element = h("li", { "data-place": ways.place(index) }, button, slot);
  const update = (/** @type {any} */ item) => {
    const said = ways.text(item);
    if (mark.dataset.side !== said.side) {
      mark.dataset.side = said.side;
      mark.replaceChildren(sideMark(said.side));
    }
    setText(text, said.text);
    setText(price, said.price);
    price.dataset.good = String(said.good);
    setText(eye, said.eye);
  };
  return { element, update };
}
