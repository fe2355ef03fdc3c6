/** Moments kept with a game: a small drawing each, its name and cue, and the way to it. */

import { snapped } from "../model/geometry.js";
import { startAsMoment } from "../model/moment.js";
import { get, problemsIn, request } from "../net/api.js";
import { drawing, h, say, setText } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, MomentRow, Point } from "../types.js" */
/** @import { Answer } from "../net/api.js" */
/** @import { Board } from "./board.js" */

const ON_SPOT_M = 0.01;

/** Where a moment is opened. @param {string} id */
export const hashOf = (id) => `#moment-${id}`;

/** @param {string} hash */
export const momentIn = (hash) => /^#moment-([\w-]+)$/.exec(hash)?.[1] ?? null;

export class Moments {
  #said = h("p", { class: "hint" });
  #list = h("ul", { class: "moments-kept" });
  #told = h("div", { "aria-live": "polite" });
  freeze = h("button", { type: "button", class: "freeze" }, "Freeze this as a moment");
  /** @type {Map<string, { mark: string, element: SVGElement | null }>} drawings of the revisions that are shown */
  #drawings = new Map();

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {Board} board
   */
  constructor(editor, game, board) {
    this.editor = editor;
    this.board = board;
    this.address = `/api/games/${game}/moments`;
    this.pictures = `/games/${game}/moments`;
    this.freeze.addEventListener("click", () => this.#freeze());
    this.element = h("section", { class: "moments" }, h("h2", {}, "Moments"), this.#said, this.#list, this.#told);
  }

  /** Show what is kept. */
  async update() {
    const answer = await get(this.address);
    if (!answer.ok) return this.#tell(answer);
    /** @type {MomentRow[]} */
    const rows = answer.body.moments;
    setText(this.#said, rows.length ? "" : "None yet. Freeze where everyone stands to teach from it, move it on and print it.");
    this.#said.hidden = rows.length > 0;
    this.#list.replaceChildren(...rows.map((row) => this.#row(row)));
    await Promise.all(rows.map((row) => this.#draw(row)));
  }

  /** A new moment, opened at once so that it can be named. */
  async #freeze() {
    const kept = await get(this.address);
    const number = kept.ok ? kept.body.moments.length + 1 : 1;
    const start = startAsMoment(this.editor.doc, this.board.places());
    const { spots } = this.board.court;
    const figures = start.figures.map((item) => ({ ...item, at: snapped(spots, /** @type {Point} */ (item.at), ON_SPOT_M) }));
    const moment = { ...start, figures, name: `Moment ${number}` };
    const answer = await request("POST", this.address, { json: { document: moment } });
    if (!answer.ok) return this.#tell(answer);
    this.#told.replaceChildren();
    location.hash = hashOf(answer.body.id);
  }

  /** @param {Answer} answer */
  #tell(answer) {
    this.#told.replaceChildren(problemList(document, problemsIn(answer)));
    this.#told.scrollIntoView({ block: "nearest" });
  }

  /** @param {MomentRow} row */
  #row(row) {
    const remove = h("button", { type: "button", class: "link", "aria-label": `Remove ${row.name}` }, "Remove");
    remove.addEventListener("click", () => this.#remove(row));
    const link = h("a", { href: hashOf(row.id), class: "open" }, row.name);
    const thumb = h("span", { class: "thumb", "aria-hidden": "true" }, this.#drawings.get(row.id)?.element ?? null);
    return h("li", { "data-moment": row.id }, thumb, h("span", { class: "what" }, link, row.cue && h("span", { class: "cue" }, row.cue)), remove);
  }

  /** @param {MomentRow} row */
  async #draw(row) {
    const mark = `${row.revision}`;
    if (this.#drawings.get(row.id)?.mark === mark) return;
    const answer = await get(`${this.pictures}/${row.id}.svg`);
    const element = answer.ok ? drawing(answer.body) : null;
    if (!element) return;
    for (const part of element.querySelectorAll("title, desc, .dimensions")) part.remove();
    for (const figure of element.querySelectorAll("[data-figure]")) figure.removeAttribute("data-figure");
    element.removeAttribute("role");
    this.#drawings.set(row.id, { mark, element });
    this.#list.querySelector(`[data-moment="${CSS.escape(row.id)}"] .thumb`)?.replaceChildren(element);
  }

  /** @param {MomentRow} row */
  async #remove(row) {
    const answer = await request("DELETE", `${this.address}/${row.id}`);
    if (!answer.ok) return this.#tell(answer);
    const back = h("button", { type: "button" }, `Bring “${row.name}” back`);
    back.addEventListener("click", async () => {
      await request("POST", `${this.address}/${row.id}/restore`);
      this.#told.replaceChildren();
      await this.update();
      say(`${row.name} is back`);
    });
    this.#told.replaceChildren(h("p", {}, `“${row.name}” is removed. `, back));
    await this.update();
    back.focus();
  }
}
