/** A moment on the page: its head, and under the board who has the ball, who stands where and who moves how fast. */

import { parsedPlace, placeField } from "../model/geometry.js";
import { kindOf } from "../model/game.js";
import { MOST_M_PER_S, movingAt, runsAt, sideOf, speedOf, targetsOf, withFigure, withSpeed } from "../model/moment.js";
import { same } from "../model/path.js";
import { h, newId, rows, setText } from "./dom.js";
import { choiceField, fillOptions, numberField, parsedNumber, problemSlot, textField } from "./fields.js";
import { Status } from "./status.js";

/** @import { Editor } from "../editor.js" */
/** @import { MomentDocument, MomentFigure, Point } from "../types.js" */
/** @import { MomentOnBoard } from "./subject.js" */

const USUAL_M_PER_S = 4; // a closeout at a run

/**
 * @typedef {object} MomentView
 * @property {HTMLElement} head
 * @property {HTMLElement} sheet
 * @property {HTMLElement} status
 * @property {() => void} update
 * @property {() => void} focus
 */

/**
 * @param {Editor<MomentDocument>} editor
 * @param {MomentOnBoard} subject
 * @param {{ of: string, page: HTMLElement, files: () => HTMLElement[], restore: () => Promise<void>, signal: AbortSignal }} ways
 * @returns {MomentView}
 */
export function momentView(editor, subject, { of, page, files, restore, signal }) {
  const name = textField(editor, { label: "name of the moment", path: ["name"], quiet: true, max: 80 });
  const cue = textField(editor, { label: "cue of the moment", path: ["cue"], max: 200, width: 30, placeholder: "what to say" });
  const back = h("a", { class: "button", href: "#start" }, "Back to the start");
  const banner = h("p", { class: "banner" }, h("strong", {}, "A moment"), ` of ${of}, frozen `, back);
  const links = h("p", { class: "files" });
  const ball = choiceField(editor, {
    label: "the ball is with",
    path: ["ball"],
    options: (doc) =>
      doc.figures
        .filter((/** @type {MomentFigure} */ item) => sideOf(item.figure) === "attack")
        .map((/** @type {MomentFigure} */ item) => [item.figure, item.figure]),
  });
  const held = numberField(editor, { label: "held for", path: ["held_s"], unit: "s since the catch" });
  const table = placesTable(editor, subject);
  const parts = [name, cue, ball, held, table];
  const status = new Status(editor, { page, what: "this moment", signal, restore });
  const update = () => {
    for (const part of parts) part.update(editor.doc);
    links.replaceChildren(...files());
  };
  return {
    head: h("div", { class: "moment-head" }, banner, name.element),
    sheet: h(
      "div",
      { class: "moment-sheet" },
      cue.element,
      h("div", { class: "fields" }, ball.element, held.element),
      table.element,
      links,
    ),
    status: status.element,
    update,
    focus: () => {
      const input = name.element.querySelector("input");
      input?.focus({ preventScroll: true });
      input?.select();
    },
  };
}

/**
 * @param {Editor<MomentDocument>} editor
 * @param {MomentOnBoard} subject
 */
function placesTable(editor, subject) {
  const spots = h("datalist", { id: newId("spots") });
  const body = h("tbody");
  const heads = ["figure", "stands at", "moves at, m/s", "towards"];
  const head = h("tr", {}, ...heads.map((text) => h("th", { scope: "col" }, text)));
  const caption = h("caption", { class: "unseen" }, "Where everyone is, and how they move");
  const element = h(
    "div",
    { class: "places", "data-place": "figures" },
    h("table", {}, caption, h("thead", {}, head), body),
    spots,
    h("p", { class: "problem", hidden: true }),
  );
  const show = rows(body, () => figureRow(editor, subject, spots.id));
  const update = (/** @type {MomentDocument} */ moment) => {
    const names = Object.keys(subject.court.spots);
    if (spots.childElementCount !== names.length)
      spots.replaceChildren(...names.map((value) => h("option", { value })));
    show(moment.figures);
  };
  return { element, update };
}

/**
 * @param {Editor<MomentDocument>} editor
 * @param {MomentOnBoard} subject
 * @param {string} list
 */
function figureRow(editor, subject, list) {
  let figure = "";
  const name = h("th", { scope: "row" });
  const at = h("input", { type: "text", list, size: 12, autocomplete: "off" });
  const speed = h("input", { type: "text", inputmode: "decimal", size: 3, class: "number", autocomplete: "off" });
  const way = h("select", {});
  const element = h("tr", {}, name, h("td", {}, at, problemSlot(at)), h("td", {}, speed), h("td", {}, way));
  const item = () => editor.doc.figures.find((one) => one.figure === figure);
  const move = (/** @type {Point} */ moving_m_per_s, /** @type {string} */ key) =>
    editor.edit(withFigure(editor.doc, figure, { moving_m_per_s }), key);
  const stand = (/** @type {boolean} */ finished) => {
    const place = parsedPlace(at.value);
    if (finished || typeof place !== "string" || place in subject.court.spots) subject.put(figure, place, `place:${figure}`);
  };
  at.addEventListener("input", () => stand(false));
  at.addEventListener("change", () => stand(true));
  speed.addEventListener("input", () => {
    const now = item();
    const asked = Number(parsedNumber(speed.value));
    if (now && Number.isFinite(asked)) move(withSpeed(subject.places(), now, Math.min(MOST_M_PER_S, Math.abs(asked))), `speed:${figure}`);
  });
  speed.addEventListener("change", () => item() && (speed.value = speedText(/** @type {MomentFigure} */ (item()))));
  way.addEventListener("change", () => {
    const now = item();
    if (now) move(towards(subject.places(), now, way.value), "");
  });
  const update = (/** @type {MomentFigure} */ next) => {
    figure = next.figure;
    element.dataset.place = `figure ${figure}`;
    name.className = kindOf(figure);
    setText(name, figure);
    at.setAttribute("aria-label", `${figure} stands at: a spot, or metres across and from under the ring`);
    speed.setAttribute("aria-label", `${figure} moves at, metres a second`);
    way.setAttribute("aria-label", `${figure} moves towards`);
    if (!same(parsedPlace(at.value), next.at) || document.activeElement !== at) at.value = placeField(next.at);
    if (document.activeElement !== speed) speed.value = speedText(next);
    const places = subject.places();
    const now = runsAt(places, next);
    /** @type {[string, string][]} */
    const own = now === "as it is" ? [["as it is", "as it is"]] : [];
    fillOptions(way, [["", "stands"], ...[...targetsOf(places, figure).keys()].map((one) => /** @type {[string, string]} */ ([one, one])), ...own]);
    way.value = now;
  };
  return { element, update };
}

/** @param {MomentFigure} item */
function speedText({ moving_m_per_s }) {
  const speed_m_per_s = speedOf(moving_m_per_s);
  return speed_m_per_s < 0.005 ? "0" : speed_m_per_s.toFixed(1);
}

/**
 * @param {Map<string, Point>} places
 * @param {MomentFigure} item
 * @param {string} target
 * @returns {Point}
 */
function towards(places, item, target) {
  const here = places.get(item.figure);
  const there = targetsOf(places, item.figure).get(target);
  if (!here || !there) return target === "" ? [0, 0] : item.moving_m_per_s;
  return movingAt(here, there, speedOf(item.moving_m_per_s) || USUAL_M_PER_S);
}
