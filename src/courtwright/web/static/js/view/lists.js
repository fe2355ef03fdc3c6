/** Lists inside the document that grow and shrink: cues, cautions, easier and harder steps, forms. */

import { mergePatch } from "../model/merge.js";
import { appendAt, removeAt } from "../model/path.js";
import { problemsIn, request } from "../net/api.js";
import { h, rows, say } from "./dom.js";
import { jsonField, numberField, textField } from "./fields.js";

/** @import { Editor } from "../editor.js" */
/** @import { Form, Game, Step } from "../types.js" */
/** @import { Part } from "./fields.js" */

/**
 * @param {Editor<Game>} editor
 * @param {keyof Game} list
 * @param {string} one such as “cue”
 * @param {number} most
 * @param {{ empty: (game: Game) => unknown, row: (index: number) => Part[], heading?: string, extra?: (index: number) => HTMLElement[] }} ways
 * @returns {Part}
 */
function growing(editor, list, one, most, { empty, row, heading, extra }) {
  const holder = h("div", { class: "list" });
  const show = rows(holder, (index) => {
    const parts = row(index);
    const remove = h("button", { type: "button", "aria-label": `Remove ${one} ${index + 1}` }, "Remove");
    remove.addEventListener("click", () => editor.edit(removeAt(editor.doc, [list], index)));
    const ends = h("div", { class: "buttons" }, ...(extra?.(index) ?? []), remove);
    const element = h(
      "div",
      { class: "item", role: "group", "aria-label": `${one} ${index + 1}` },
      ...parts.map((part) => part.element),
      ends,
    );
    return { element, update: () => parts.forEach((part) => part.update(editor.doc)) };
  });
  const add = h("button", { type: "button", class: "add" }, `+ Add ${/^[aeiou]/.test(one) ? "an" : "a"} ${one}`);
  add.addEventListener("click", () => {
    editor.edit(appendAt(editor.doc, [list], empty(editor.doc)));
    /** @type {HTMLElement | null} */ (holder.lastElementChild?.querySelector("input, textarea") ?? null)?.focus();
  });
  const title = heading ? h("h3", {}, heading) : null;
  const update = (/** @type {Game} */ game) => {
    const items = /** @type {unknown[]} */ (game[list]);
    add.hidden = items.length >= most;
    show(items);
  };
  return { element: h("div", { class: "growing", "data-place": list }, title, holder, add), update };
}

/**
 * @param {Editor<Game>} editor
 * @param {"cues" | "cautions"} list
 * @param {string} one
 * @param {number} most
 */
export function lineList(editor, list, one, most) {
  const row = (/** @type {number} */ index) => [
    textField(editor, { label: `${one} ${index + 1}`, path: [list, index], max: 200, quiet: true, long: true }),
  ];
  return growing(editor, list, one, most, { empty: () => "", row });
}

/**
 * @param {Editor<Game>} editor
 * @param {"easier" | "harder"} list
 */
export function stepList(editor, list) {
  const one = list === "easier" ? "easier form" : "harder form";
  return growing(editor, list, one, 4, {
    empty: () => ({ say: "", change: {} }),
    heading: list === "easier" ? "Easier" : "Harder",
    row: (index) => [
      textField(editor, { label: "what to say", path: [list, index, "say"], max: 200, long: true }),
      changeField(editor, [list, index, "change"]),
    ],
    extra: (index) => [asNewGame(editor, () => editor.doc[list][index], list)],
  });
}

/**
 * The fewest players who are enough and have no form yet.
 * @param {Game} game
 */
function playersWithoutForm({ sides, forms }) {
  let players = Number(sides.offence) + Number(sides.defence) + Number(sides.neutral);
  while (forms.some((form) => Number(form.players) === players)) players += 1;
  return players;
}

/** @param {Editor<Game>} editor */
export function formsList(editor) {
  return growing(editor, "forms", "form", 20, {
    empty: (game) => ({ players: playersWithoutForm(game), baskets: 1, say: "", change: {} }),
    row: (index) => [
      numberField(editor, { label: "players", path: ["forms", index, "players"], width: 2 }),
      numberField(editor, { label: "baskets", path: ["forms", index, "baskets"], width: 2 }),
      textField(editor, { label: "what to say", path: ["forms", index, "say"], max: 200, long: true }),
      changeField(editor, ["forms", index, "change"]),
    ],
    extra: (index) => [asNewGame(editor, () => editor.doc.forms[index], `${editor.doc.forms[index]?.players} players`)],
  });
}

/**
 * What the step changes, as the file holds it.
 * @param {Editor<Game>} editor
 * @param {(string | number)[]} path
 * @returns {Part}
 */
function changeField(editor, path) {
  const field = jsonField(editor, { label: "what changes in the document (JSON merge patch)", path });
  const element = h("details", { class: "patch" }, h("summary", {}, "what it changes"), field.element);
  return { element, update: field.update };
}

/**
 * Try a form by opening it as a game of its own.
 * @param {Editor<Game>} editor
 * @param {() => Step | Form | undefined} step
 * @param {string} suffix
 */
function asNewGame(editor, step, suffix) {
  const button = h("button", { type: "button" }, "Open as a new game");
  button.addEventListener("click", async () => {
    const changed = mergePatch(editor.doc, step()?.change ?? {});
    const document = { ...changed, name: `${editor.doc.name}, ${suffix}`.slice(0, 80) };
    const answer = await request("POST", "/api/games", { json: { document } });
    if (answer.ok) location.assign(`/games/${answer.body.id}`);
    else
      say(
        problemsIn(answer)
          .map((problem) => `${problem.place}: ${problem.what}`)
          .join(". "),
      );
  });
  return button;
}
