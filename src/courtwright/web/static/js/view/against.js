/** What a trial is compared with: the last one that was run, the step before, or any saved version. */

import { same } from "../model/path.js";
import { whenText } from "../model/words.js";
import { get } from "../net/api.js";
import { h, newId } from "./dom.js";
import { fillOptions } from "./fields.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Revision } from "../types.js" */

const LAST = "last";
const STEP = "step";
const NOTHING = "nothing";
const ORIGIN = "origin";
const SHOWN = 20;

export class Against {
  /** @type {Game | null} the game of the last trial that was run */ #base = null;
  /** @type {Game | null} the game this one was made from */ #origin = null;
  #choice = h("select", { id: newId("against") });

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {() => void} changed
   */
  constructor(editor, game, changed) {
    this.game = game;
    this.element = h("span", { class: "choice" }, h("label", { for: this.#choice.id }, "compared with"), this.#choice);
    this.#fill([]);
    this.#choice.value = LAST;
    this.#choice.addEventListener("change", changed);
    editor.saver.addEventListener("saved", () => this.update());
    this.update();
    this.#findOrigin(new URLSearchParams(location.search).get("from"));
  }

  /** @param {string | null} id */
  async #findOrigin(id) {
    const answer = id ? await get(`/api/games/${encodeURIComponent(id)}`) : null;
    if (!answer?.ok) return;
    this.#origin = answer.body.document;
    await this.update();
    this.#choice.value = ORIGIN;
  }

  async update() {
    const answer = await get(`/api/games/${this.game}/revisions`);
    if (answer.ok) this.#fill(answer.body.revisions);
  }

  /** @param {Revision[]} revisions */
  #fill(revisions) {
    const chosen = this.#choice.value;
    const earlier = revisions.slice(1, SHOWN);
    if (/^\d+$/.test(chosen) && !earlier.some((item) => String(item.revision) === chosen))
      earlier.push(...revisions.filter((item) => String(item.revision) === chosen));
    fillOptions(this.#choice, [
      [LAST, "the last trial you ran"],
      [STEP, "the step before"],
      [NOTHING, "nothing"],
      ...(this.#origin ? [/** @type {const} */ ([ORIGIN, `${this.#origin.name}, which it was made from`])] : []),
      ...earlier.map(
        ({ revision, saved_at }) =>
          /** @type {const} */ ([String(revision), `version ${revision}, ${whenText(saved_at, new Date())}`]),
      ),
    ]);
    this.#choice.value = chosen;
  }

  /** @param {Game | null} document whose trial was run */
  run(document) {
    this.#base = document;
  }

  /**
   * What a question for a trial says of it.
   * @param {Game} document
   * @param {Game | null} shown
   * @returns {{ against?: Game, against_revision?: number }}
   */
  asked(document, shown) {
    const { value } = this.#choice;
    if (/^\d+$/.test(value)) return { against_revision: Number(value) };
    const other = value === LAST ? this.#base : value === STEP ? shown : value === ORIGIN ? this.#origin : null;
    return other && !same(other, document) ? { against: other } : {};
  }

  /**
   * The saved version with that hash.
   * @param {string} hash
   * @returns {Promise<Game | null>}
   */
  async documentOf(hash) {
    const answer = await get(`/api/games/${this.game}/revisions`);
    /** @type {Revision | undefined} */
    const found = answer.ok ? answer.body.revisions.find((/** @type {Revision} */ item) => item.hash === hash) : undefined;
    const kept = found && (await get(`/api/games/${this.game}/revisions/${found.revision}`));
    return kept?.ok ? kept.body.document : null;
  }
}
