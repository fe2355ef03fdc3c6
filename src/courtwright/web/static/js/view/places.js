/** The table twin of the board: every figure with its place, to read and to type over. */

import { distanceM, lengthText, parsedPlace, placeField, placeText } from "../model/geometry.js";
import { attackersOf, kindOf, opposite, placedM, placeOf, withPlace } from "../model/game.js";
import { same, setAt } from "../model/path.js";
import { h, newId, rows, setText } from "./dom.js";
import { fillOptions, parsedNumber, problemSlot } from "./fields.js";
import { prefs } from "./prefs.js";
import { section } from "./sections.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game } from "../types.js" */
/** @import { Board } from "./board.js" */

/**
 * The table as a part of the sheet.
 * @param {Editor<Game>} editor
 * @param {Board} board
 */
export function placesSection(editor, board) {
  const sentence = (/** @type {Game} */ game) =>
    game.start.placements
      .map(
        ({ figure }) => `${figure} ${placeText(board.court.spots, placeOf(game, board.variant, figure), prefs.feet)}`,
      )
      .join(" · ");
  return section("Places", sentence, [placesTable(editor, board), { element: board.twin, update: () => {} }]);
}

/**
 * @param {Editor<Game>} editor
 * @param {Board} board
 */
function placesTable(editor, board) {
  const spots = h("datalist", { id: newId("spots") });
  const body = h("tbody");
  const heads = ["figure", "stands at", "", "guards", "varies by, m"];
  const head = h(
    "tr",
    {},
    ...heads.map((text) => h("th", { scope: "col" }, text || h("span", { class: "unseen" }, "in words"))),
  );
  const element = h(
    "div",
    { class: "places", "data-place": "start, placements" },
    h("table", {}, h("caption", { class: "unseen" }, "Where every figure starts"), h("thead", {}, head), body),
    spots,
    h("p", { class: "problem", hidden: true }),
  );
  const show = rows(body, (index) => placeRow(editor, board, index, spots.id));
  const update = (/** @type {Game} */ game) => {
    const names = Object.keys(board.court.spots);
    if (spots.childElementCount !== names.length)
      spots.replaceChildren(...names.map((value) => h("option", { value })));
    show(game.start.placements.map((item) => item.figure));
  };
  return { element, update };
}

/**
 * @param {Editor<Game>} editor
 * @param {Board} board
 * @param {number} index
 * @param {string} list
 */
function placeRow(editor, board, index, list) {
  let figure = "";
  const name = h("th", { scope: "row" });
  const at = h("input", { type: "text", list, size: 12, autocomplete: "off" });
  const said = h("td", { class: "said" });
  const guards = h("select", {});
  const vary = h("input", { type: "text", inputmode: "decimal", size: 3, class: "number", autocomplete: "off" });
  const stand = (/** @type {boolean} */ finished) => {
    const place = parsedPlace(at.value);
    const known = typeof place !== "string" || place in board.court.spots;
    if (finished || known) editor.edit(withPlace(editor.doc, board.variant, figure, place), `place:${figure}`);
  };
  at.addEventListener("input", () => stand(false));
  at.addEventListener("change", () => stand(true));
  guards.addEventListener("change", () => editor.edit(withOwn(editor.doc, figure, "guards", guards.value || null)));
  vary.addEventListener("input", () =>
    editor.edit(withOwn(editor.doc, figure, "vary_m", parsedNumber(vary.value)), `vary:${figure}`),
  );
  const element = h(
    "tr",
    { "data-place": `start, placement ${index + 1}` },
    name,
    h("td", {}, at, problemSlot(at)),
    said,
    h("td", {}, guards),
    h("td", {}, vary),
  );
  const update = (/** @type {string} */ next) => {
    figure = next;
    const game = editor.doc;
    const own = game.start.placements.find((item) => item.figure === figure);
    name.className = kindOf(figure);
    setText(name, figure);
    at.setAttribute("aria-label", `${figure} stands at: a spot, or metres across and from under the ring`);
    guards.setAttribute("aria-label", `${figure} guards`);
    vary.setAttribute("aria-label", `${figure} varies by, metres`);
    const place = placeOf(game, board.variant, figure);
    if (!same(parsedPlace(at.value), place) || document.activeElement !== at) at.value = placeField(place);
    setText(said, inWords(game, board, figure));
    guards.hidden = kindOf(figure) !== "defender";
    fillOptions(guards, [
      [null, "own number"],
      ...attackersOf(game.sides).map((name) => /** @type {const} */ ([name, name])),
    ]);
    guards.value = own?.guards ?? "";
    if (!same(parsedNumber(vary.value), own?.vary_m)) vary.value = String(own?.vary_m ?? 0);
  };
  return { element, update };
}

/**
 * @param {Game} game
 * @param {string} figure
 * @param {"guards" | "vary_m"} field
 * @param {unknown} value
 * @returns {Game}
 */
function withOwn(game, figure, field, value) {
  const index = game.start.placements.findIndex((item) => item.figure === figure);
  return setAt(game, ["start", "placements", index, field], value);
}

/**
 * @param {Game} game
 * @param {Board} board
 * @param {string} figure
 */
function inWords(game, board, figure) {
  const places = placedM(game, board.court, board.variant);
  const here = places.get(figure);
  if (!here) return "";
  const other = opposite(game, places, figure);
  const there = places.get(other ?? "");
  const named = placeOf(game, board.variant, figure);
  const parts = [
    typeof named === "string" ? "" : placeText(board.court.spots, here, prefs.feet),
    there ? `${lengthText(distanceM(here, there), prefs.feet)} from ${other}` : "",
  ];
  return parts.filter(Boolean).join(", ");
}
