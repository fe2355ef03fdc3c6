/** Every version of a game that was ever saved; any of them can be brought back. */

import { whenText } from "../model/words.js";
import { get } from "../net/api.js";
import { h, say } from "./dom.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Revision } from "../types.js" */

const SHOWN = 30;

/**
 * @param {Editor<Game>} editor
 * @param {string} game
 */
export function versions(editor, game) {
  const list = h("ul", { class: "versions" });
  const element = h(
    "details",
    { class: "section" },
    h(
      "summary",
      {},
      h("span", { class: "name" }, "Earlier versions"),
      h("span", { class: "said" }, "every saved version is kept"),
    ),
    h("div", { class: "body" }, list),
  );
  const show = async () => {
    if (!element.open) return;
    const answer = await get(`/api/games/${game}/revisions`);
    if (!answer.ok) return;
    /** @type {Revision[]} */
    const revisions = answer.body.revisions;
    list.replaceChildren(
      ...revisions.slice(0, SHOWN).map((revision, index) => line(editor, game, revision, index === 0)),
    );
  };
  element.addEventListener("toggle", show);
  editor.saver.addEventListener("saved", show);
  return element;
}

/**
 * @param {Editor<Game>} editor
 * @param {string} game
 * @param {Revision} revision
 * @param {boolean} newest
 */
function line(editor, game, { revision, name, saved_at }, newest) {
  const said = `${revision}: ${name}, ${whenText(saved_at, new Date())}`;
  const back = h("button", { type: "button", "aria-label": `Bring back version ${revision}` }, "Bring back");
  back.addEventListener("click", async () => {
    const answer = await get(`/api/games/${game}/revisions/${revision}`);
    if (!answer.ok) return;
    editor.edit(answer.body.document);
    say(`Version ${revision} is back; Undo returns to the one before`);
  });
  return h("li", {}, h("span", {}, said), newest ? h("span", { class: "hint" }, "now") : back);
}
