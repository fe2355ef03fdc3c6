/** Any 1-on-1 as 2-, 3-, 4- or 5-on-5, in one action: a new game, with the first one to compare it with. */

import { problemsIn, request } from "../net/api.js";
import { h } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game } from "../types.js" */

/**
 * @param {Editor<Game>} editor
 * @param {string} id
 */
export function growing(editor, id) {
  const told = h("div", {});
  const grow = async (/** @type {number} */ side) => {
    await editor.saver.flush();
    const answer = await request("POST", "/api/games", { json: { grow_of: id, side } });
    if (answer.ok) location.assign(`/games/${answer.body.id}?from=${id}`);
    else told.replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
  };
  const buttons = [2, 3, 4, 5].map((side) =>
    h("button", { type: "button", onclick: () => grow(side) }, `${side}-on-${side}`),
  );
  const element = h(
    "div",
    { class: "grow", role: "group", "aria-label": "Make it bigger" },
    h("p", { class: "hint" }, "The same game with mates at open spots and helpers where their men put them:"),
    h("p", { class: "choices" }, ...buttons),
    told,
  );
  const update = (/** @type {Game} */ game) => {
    const { offence, defence, neutral } = game.sides;
    element.hidden = offence !== 1 || defence !== 1 || (neutral ?? 0) > 0;
  };
  return { element, update };
}
