/** Paste or open a squad file: every problem with its place, or a preview, before anything is replaced. */

import { replacementText } from "../model/squad.js";
import { counted } from "../model/words.js";
import { problemsIn, request } from "../net/api.js";
import { h, newId, say } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Squad } from "../types.js" */

/**
 * @param {Editor<Squad>} editor
 * @returns {HTMLElement}
 */
export function squadImport(editor) {
  const text = h("textarea", {
    id: newId("paste"),
    rows: 6,
    class: "code",
    spellcheck: "false",
    "data-own-undo": true,
  });
  const file = h("input", { type: "file", id: newId("file"), accept: ".csv,.json,.txt,text/csv,application/json" });
  const look = h("button", { type: "submit" }, "Look at it");
  const found = h("div", { class: "found", "aria-live": "polite" });
  const form = h(
    "form",
    {},
    h("label", { for: text.id }, "paste a table or a file’s text (CSV or JSON)"),
    text,
    h("label", { for: file.id }, "or open a file"),
    file,
    h("p", { class: "buttons" }, look),
    h(
      "p",
      { class: "hint" },
      "The first line of a CSV names its columns: name, number, height_cm, level, here, grade. Only the name must be there.",
    ),
  );
  form.addEventListener("submit", (event) => (event.preventDefault(), read(editor, text.value, found)));
  file.addEventListener("change", async () => {
    text.value = (await file.files?.[0]?.text()) ?? "";
    file.value = "";
    await read(editor, text.value, found);
  });
  return h("div", {}, form, found);
}

/**
 * @param {Editor<Squad>} editor
 * @param {string} text
 * @param {HTMLElement} found
 */
async function read(editor, text, found) {
  const answer = await request("POST", "/api/squad/import", { text });
  if (answer.ok) return found.replaceChildren(preview(editor, answer.body.squad, answer.body.assumptions ?? [], found));
  const problems = problemsIn(answer);
  const title = h("p", {}, `${counted(problems.length, "problem")}. Nothing was changed.`);
  return found.replaceChildren(title, problemList(document.createDocumentFragment(), problems));
}

/**
 * @param {Editor<Squad>} editor
 * @param {Squad} squad
 * @param {string[]} assumptions
 * @param {HTMLElement} found
 */
function preview(editor, squad, assumptions, found) {
  const heads = ["name", "no.", "height, cm", "level", "grade", "here"].map((text) => h("th", { scope: "col" }, text));
  const body = squad.players.map((player) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, player.name),
      ...[player.number, player.height_cm, player.level, player.grade].map((value) => h("td", {}, value ?? "–")),
      h("td", {}, player.here ? "here" : "away"),
    ),
  );
  const replace = h("button", { type: "button", class: "main" }, "Replace the squad");
  replace.addEventListener("click", () => {
    editor.edit(squad);
    found.replaceChildren();
    say("Squad replaced; Undo brings the old one back");
  });
  const cancel = h("button", { type: "button", onclick: () => found.replaceChildren() }, "Leave it as it is");
  return h(
    "div",
    { class: "preview" },
    h("p", {}, replacementText(editor.doc, squad)),
    h("table", {}, h("thead", {}, h("tr", {}, ...heads)), h("tbody", {}, ...body)),
    ...assumptions.map((sentence) => h("p", { class: "hint" }, sentence)),
    h("p", { class: "buttons" }, replace, cancel),
  );
}
