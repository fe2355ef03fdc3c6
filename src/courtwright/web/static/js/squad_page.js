/** The squad page: the table, the file in and out, and what stands in for missing figures. */

import { Editor } from "./editor.js";
import { EMPTY_SQUAD, hereText, withNewPlayer } from "./model/squad.js";
import { get, problemsIn } from "./net/api.js";
import { openSquad } from "./net/open.js";
import { byId, h, setText } from "./view/dom.js";
import { choiceField, textField } from "./view/fields.js";
import { playerTable } from "./view/players.js";
import { startPrefs } from "./view/prefs.js";
import { problemList, showProblems } from "./view/problems.js";
import { Status } from "./view/status.js";
import { squadImport } from "./view/squad_import.js";

/** @import { Squad, Vocabulary } from "./types.js" */

const control = new AbortController();

/**
 * @param {Editor<Squad>} editor
 * @param {Vocabulary} vocabulary
 */
function build(editor, vocabulary) {
  const page = byId("squad");
  const name = textField(editor, { label: "name of the squad", path: ["name"], quiet: true, max: 80 });
  const level = choiceField(editor, {
    label: "level, for everyone who has none of their own",
    path: ["level"],
    options: () => vocabulary.levels.map((word) => [word, word]),
  });
  const table = playerTable(editor, vocabulary);
  const here = h("p", { class: "sides" });
  const add = h("button", { type: "button", class: "add" }, "+ Add a player");
  add.addEventListener("click", () => (editor.edit(withNewPlayer(editor.doc)), table.focusLast()));
  const status = new Status(editor, { page, what: "the squad", signal: control.signal });

  byId("title").replaceChildren(name.element, here);
  byId("status").replaceChildren(status.element);
  byId("players").replaceChildren(level.element, table.element, h("p", { class: "buttons" }, add));
  byId("import").replaceChildren(squadImport(editor));

  const update = () => {
    for (const part of [name, level, table]) part.update(editor.doc);
    setText(here, hereText(editor.doc));
    showProblems(page, editor.saver.problems);
  };
  editor.addEventListener("change", update);
  editor.saver.addEventListener("saved", () => assume(editor));
  update();
  assume(editor);
}

/**
 * What the level stands in for; and the count in the page's head, which the server wrote.
 * @param {Editor<Squad>} editor
 */
async function assume(editor) {
  const answer = await get("/api/squad");
  if (!answer.ok) return;
  byId("assumed").hidden = answer.body.assumptions.length === 0;
  byId("away").hidden = answer.body.squad === null;
  byId("assumptions").replaceChildren(...answer.body.assumptions.map((/** @type {string} */ text) => h("p", {}, text)));
  const { name, players } = editor.doc;
  setText(byId("club"), players.length ? `${name} · ${players.filter((player) => player.here).length} here` : "");
}

async function start() {
  startPrefs();
  const [words, editor] = await Promise.all([get("/api/vocabulary"), openSquad(EMPTY_SQUAD, control.signal)]);
  if (words.ok && editor instanceof Editor) build(editor, words.body);
  else
    byId("status").replaceChildren(
      problemList(document, editor instanceof Editor ? problemsIn(words) : problemsIn(editor)),
    );
}

start();
