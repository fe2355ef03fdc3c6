/** The table of players, edited in place. */

import { removeAt } from "../model/path.js";
import { h, rows, say, setText } from "./dom.js";
import { choiceField, numberField, textField, tickField } from "./fields.js";

/** @import { Editor } from "../editor.js" */
/** @import { Player, Squad, Vocabulary } from "../types.js" */

const HEADS = ["here", "name", "no.", "height, cm", "level", "grade", "tests", ""];
const GRADES = ["1", "2", "3", "4", "5"];

/**
 * @param {Editor<Squad>} editor
 * @param {Vocabulary} vocabulary
 */
export function playerTable(editor, vocabulary) {
  const body = h("tbody");
  const heads = HEADS.map((text) => h("th", { scope: "col" }, text || h("span", { class: "unseen" }, "remove")));
  const hint = h(
    "p",
    { class: "hint" },
    "Grade is your own, from 1 to 5; teams are made even by it. Empty fields take the level’s usual figures.",
  );
  const slot = h("p", { class: "problem", hidden: true });
  const table = h(
    "table",
    { class: "players" },
    h("caption", { class: "unseen" }, "Players"),
    h("thead", {}, h("tr", {}, ...heads)),
    body,
  );
  const show = rows(body, (index) => playerRow(editor, vocabulary, index));
  return {
    element: h("div", { "data-place": "players" }, slot, table, hint),
    update: (/** @type {Squad} */ squad) => {
      table.hidden = hint.hidden = squad.players.length === 0;
      show(squad.players);
    },
    focusLast: () => {
      /** @type {HTMLInputElement | null} */
      const name = body.lastElementChild?.querySelector("input[type=text]") ?? null;
      name?.focus();
      name?.select();
    },
  };
}

/**
 * @param {Editor<Squad>} editor
 * @param {Vocabulary} vocabulary
 * @param {number} index
 */
function playerRow(editor, vocabulary, index) {
  const path = ["players", index];
  const parts = [
    tickField(editor, { label: "here", path: [...path, "here"] }),
    textField(editor, { label: "name", path: [...path, "name"], quiet: true, max: 40, width: 14 }),
    numberField(editor, { label: "number", path: [...path, "number"], quiet: true, optional: true, width: 3 }),
    numberField(editor, { label: "height, cm", path: [...path, "height_cm"], quiet: true, optional: true, width: 5 }),
    choiceField(editor, {
      label: "level",
      path: [...path, "level"],
      quiet: true,
      options: () => [[null, "as squad"], ...vocabulary.levels.map((word) => /** @type {const} */ ([word, word]))],
    }),
    choiceField(editor, {
      label: "grade",
      path: [...path, "grade"],
      quiet: true,
      options: () => [[null, "–"], ...GRADES.map((grade) => /** @type {const} */ ([grade, grade]))],
      get: (squad) => (squad.players[index]?.grade === null ? null : String(squad.players[index]?.grade ?? "")),
      set: (squad, value) => withGrade(squad, index, value),
    }),
  ];
  const tests = h("td", { class: "tests", "data-head": "tests" });
  const remove = h("button", { type: "button", class: "remove" }, "Remove");
  remove.addEventListener("click", () => {
    say(`${editor.doc.players[index].name} removed; Undo brings them back`);
    editor.edit(removeAt(editor.doc, ["players"], index));
  });
  const cells = parts.map((part, column) => h("td", { "data-head": HEADS[column] }, part.element));
  const slot = h("p", { class: "problem", hidden: true });
  const element = h(
    "tr",
    { "data-place": `player ${index + 1}` },
    ...cells,
    tests,
    h("td", { class: "end" }, remove, slot),
  );
  const update = (/** @type {Player} */ player) => {
    parts.forEach((part) => part.update(editor.doc));
    element.classList.toggle("away", !player.here);
    remove.setAttribute("aria-label", `Remove ${player.name}`);
    setText(tests, testsText(player));
  };
  return { element, update };
}

/**
 * @param {Squad} squad
 * @param {number} index
 * @param {string | null} value
 */
function withGrade(squad, index, value) {
  const players = squad.players.map((player, at) =>
    at === index ? { ...player, grade: value === null ? null : Number(value) } : player,
  );
  return { ...squad, players };
}

/** @param {Player} player */
function testsText(player) {
  const kept = [
    Object.keys(player.splits_s ?? {}).length && "sprint",
    Object.keys(player.shooting ?? {}).length && "shooting",
  ];
  return kept.filter(Boolean).join(", ") || "–";
}
