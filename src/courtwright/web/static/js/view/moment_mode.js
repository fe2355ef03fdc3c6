/** Which of the two the page shows: the start of the game, or one of its moments. The address says which. */

import { Editor } from "../editor.js";
import { problemsIn, request } from "../net/api.js";
import { openMoment } from "../net/open.js";
import { byId, h, say } from "./dom.js";
import { momentView } from "./moment_sheet.js";
import { momentIn } from "./moments.js";
import { prefs } from "./prefs.js";
import { problemList } from "./problems.js";
import { MomentOnBoard } from "./subject.js";

/** @import { Game, Vocabulary } from "../types.js" */
/** @import { MomentView } from "./moment_sheet.js" */
/** @import { Board } from "./board.js" */
/** @import { Moments } from "./moments.js" */
/** @import { ReadingPanel } from "./reading.js" */

/** @typedef {{ subject: MomentOnBoard, view: MomentView }} Opened */

export class MomentMode {
  /** @type {Map<string, Opened>} moments that were opened; their undo stays as long as the page */ #opened = new Map();
  #game;
  /** @type {string | null} the moment on the board */ #shown = null;

  /**
   * @param {object} page
   * @param {Editor<Game>} page.editor
   * @param {string} page.id
   * @param {Vocabulary} page.vocabulary
   * @param {Board} page.board
   * @param {Moments} page.moments
   * @param {ReadingPanel} page.reading
   * @param {HTMLElement} page.status the state of the game's own saving
   * @param {AbortSignal} page.signal
   */
  constructor(page) {
    this.page = page;
    this.#game = page.board.subject;
    addEventListener("hashchange", () => this.follow(true), { signal: page.signal });
    page.reading.addEventListener("choice", () => this.#now?.view.update());
  }

  get #now() {
    return this.#opened.get(momentIn(location.hash) ?? "");
  }

  /**
   * Show what the address names.
   * @param {boolean} moved by the person, not on opening the page
   */
  async follow(moved) {
    const id = momentIn(location.hash);
    if (moved && id === this.#shown) return; // another address on this page, like that of "skip to the content"
    const opened = id ? await this.#open(id) : null;
    if (id !== momentIn(location.hash)) return;
    this.#shown = id;
    byId("game").classList.toggle("in-moment", opened !== null);
    byId("moment-head").replaceChildren(...(opened ? [opened.view.head] : []));
    byId("moment-sheet").replaceChildren(...(opened ? [opened.view.sheet] : []));
    byId("status").replaceChildren(opened ? opened.view.status : this.page.status);
    this.#show(opened, moved);
  }

  /**
   * @param {Opened | null} opened
   * @param {boolean} moved
   */
  #show(opened, moved) {
    const { board, reading, moments } = this.page;
    board.open(opened ? opened.subject : this.#game);
    reading.chosen = null;
    reading.name(opened ? "the moment" : "the start");
    if (opened) reading.element.open = true;
    opened?.view.update();
    reading.update();
    if (!opened) moments.update();
    if (!moved) return;
    byId("drawing").scrollIntoView({ block: "nearest" });
    if (opened) opened.view.focus();
    else moments.freeze.focus({ preventScroll: true });
    say(opened ? `The board shows the moment ${opened.subject.editor.doc.name}` : "The board shows the start");
  }

  /**
   * @param {string} id
   * @returns {Promise<Opened | null>}
   */
  async #open(id) {
    const { page } = this;
    const known = this.#opened.get(id);
    if (known) return known;
    const editor = await openMoment(page.id, id, page.signal);
    if (!(editor instanceof Editor)) {
      byId("moment-problem").replaceChildren(problemList(document, problemsIn(editor)));
      return null;
    }
    byId("moment-problem").replaceChildren();
    const picture = `/games/${page.id}/moments/${id}`;
    const subject = new MomentOnBoard(editor, page.vocabulary, `${picture}.svg`);
    const view = momentView(editor, subject, {
      of: page.editor.doc.name,
      page: byId("moment-sheet"),
      files: () => this.#files(picture),
      restore: async () => void (await request("POST", `/api${picture}/restore`)),
      signal: page.signal,
    });
    editor.addEventListener("change", () => this.#changed(id));
    const opened = { subject, view };
    this.#opened.set(id, opened);
    return opened;
  }

  /** @param {string} id */
  #changed(id) {
    if (momentIn(location.hash) !== id) return;
    this.page.board.update();
    this.page.reading.update();
    this.#opened.get(id)?.view.update();
  }

  /**
   * Paper and pictures, of the drive that is chosen where one is.
   * @param {string} picture
   */
  #files(picture) {
    const { chosen } = this.page.reading;
    const { points, level } = this.page.reading.asked();
    const asked = new URLSearchParams({ points });
    if (level) asked.set("level", level);
    if (prefs.feet) asked.set("feet", "true");
    if (chosen) asked.set("cue", chosen.cue);
    if (chosen?.helper) asked.set("helper", chosen.helper);
    const link = (/** @type {string} */ ending, /** @type {string} */ text) =>
      h("a", { href: `${picture}.${ending}?${asked}`, target: "_blank", rel: "noopener" }, text);
    const still = [link("pdf", "Print (PDF)"), link("svg", "Drawing (SVG)")];
    return chosen ? [...still, link("gif", "Played (GIF)"), link("webp", "Played (WebP)")] : still;
  }
}
