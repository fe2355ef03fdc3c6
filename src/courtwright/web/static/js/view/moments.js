/** Moments kept with a game: frozen from the board, named, given a cue, drawn, printed, played as a looped picture. */

import { startAsMoment } from "../model/moment.js";
import { get, problemsIn, request } from "../net/api.js";
import { h, newId, say } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, MomentRow, Point } from "../types.js" */
/** @import { Answer } from "../net/api.js" */

export class Moments {
  #list = h("ul", { class: "moments-kept" });
  #told = h("div", { "aria-live": "polite" });

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {() => Map<string, Point>} places
   */
  constructor(editor, game, places) {
    this.editor = editor;
    this.places = places;
    this.address = `/api/games/${game}/moments`;
    this.pictures = `/games/${game}/moments`;
    const freeze = h("button", { type: "button" }, "Keep this as a moment");
    freeze.addEventListener("click", () => this.#freeze());
    this.element = h("section", { class: "panel moments" }, h("h3", {}, "Moments"), this.#list, freeze, this.#told);
  }

  /** Show what is kept. */
  async update() {
    const answer = await get(this.address);
    if (!answer.ok) return this.#tell(answer);
    const rows = answer.body.moments.map((/** @type {MomentRow} */ row) => this.#row(row));
    this.#list.replaceChildren(...rows);
  }

  async #freeze() {
    const moment = startAsMoment(this.editor.doc, this.places());
    const answer = await request("POST", this.address, { json: { document: moment } });
    if (!answer.ok) return this.#tell(answer);
    say("The moment is kept.");
    await this.update();
  }

  /** @param {Answer} answer */
  #tell(answer) {
    this.#told.replaceChildren(problemList(document, problemsIn(answer)));
  }

  /** @param {MomentRow} row */
  #row(row) {
    const name = h("input", { type: "text", value: row.name, id: newId("moment"), maxlength: 80 });
    const cue = h("input", { type: "text", value: row.cue, id: newId("cue"), maxlength: 200, placeholder: "cue" });
    const change = () => this.#rename(row, name.value, cue.value);
    name.addEventListener("change", change);
    cue.addEventListener("change", change);
    const remove = h("button", { type: "button", class: "quiet" }, "Remove");
    remove.addEventListener("click", () => this.#remove(row));
    const link = (/** @type {string} */ ending, /** @type {string} */ text) =>
      h("a", { href: `${this.pictures}/${row.id}.${ending}`, target: "_blank" }, text);
    return h(
      "li",
      {},
      h("label", { class: "unseen", for: name.id }, "name of the moment"),
      name,
      h("label", { class: "unseen", for: cue.id }, "cue of the moment"),
      cue,
      h("span", { class: "files" }, link("svg", "drawing"), " ", link("pdf", "sheet"), " ", link("gif", "played"), " ", remove),
    );
  }

  /**
   * @param {MomentRow} row
   * @param {string} name
   * @param {string} cue
   */
  async #rename(row, name, cue) {
    const kept = await get(`${this.address}/${row.id}`);
    if (!kept.ok) return this.#tell(kept);
    const json = { document: { ...kept.body.document, name, cue }, base: kept.body.revision };
    const answer = await request("PUT", `${this.address}/${row.id}`, { json });
    if (!answer.ok) return this.#tell(answer);
    this.#told.replaceChildren();
    say("The moment is saved.");
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
    });
    this.#told.replaceChildren(back);
    await this.update();
  }
}
