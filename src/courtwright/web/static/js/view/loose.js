/** Changed forms that do not fit: the game is kept and can be played, so it is said quietly, where they are written. */

import { countedPlace } from "../model/problem_places.js";
import { sentenceCase } from "../model/words.js";
import { h } from "./dom.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Problem } from "../types.js" */
/** @import { Part } from "./fields.js" */

/**
 * @param {Editor<Game>} editor
 * @param {string[]} lists such as `easier`
 * @returns {Part}
 */
export function looseEnds(editor, lists) {
  const list = h("ul");
  const element = h("div", { class: "loose", hidden: true }, h("p", { class: "hint" }, "Kept, but these forms do not fit yet:"), list);
  const here = (/** @type {Problem} */ problem) =>
    lists.some((name) => countedPlace(editor.doc, problem.place).startsWith(name));
  let shown = "";
  const update = () => {
    const found = editor.saver.loose.filter(here);
    if (shown === JSON.stringify(found)) return;
    shown = JSON.stringify(found);
    element.hidden = found.length === 0;
    list.replaceChildren(...found.map((one) => h("li", {}, `${sentenceCase(one.place)}: ${one.what}. ${one.mend}`)));
  };
  editor.addEventListener("state", update);
  return { element, update };
}
