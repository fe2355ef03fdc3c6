/** Undo, redo, and one quiet line that says where the work is kept; problems and conflicts open below it. */

import { whenText } from "../model/words.js";
import { h, say, setText } from "./dom.js";
import { problemList, showProblems } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Locate } from "./problems.js" */

/**
 * @typedef {object} StatusWays
 * @property {HTMLElement} page where the fields are
 * @property {string} what such as “this game”
 * @property {AbortSignal} signal
 * @property {Locate} [locate] from a place in the server's words to the mark of a field
 * @property {() => Promise<void>} [restore] bring back what was removed elsewhere
 */

/** @template T */
export class Status {
  #line = h("p", { class: "saved" });
  #undo = h("button", { type: "button", title: "Undo (Ctrl+Z)" }, "Undo");
  #redo = h("button", { type: "button", title: "Redo (Ctrl+Shift+Z)" }, "Redo");
  #list = h("div");
  #mend = h("details", { class: "mend", hidden: true }, h("summary", {}, "what to mend"), this.#list);
  #more = h("div", { class: "trouble" });
  #told = "";

  /**
   * @param {Editor<T>} editor
   * @param {StatusWays} ways
   */
  constructor(editor, ways) {
    this.editor = editor;
    this.ways = ways;
    this.element = h(
      "div",
      { class: "status" },
      h("div", { class: "row" }, this.#undo, this.#redo, this.#line, this.#mend),
      this.#more,
    );
    this.#undo.addEventListener("click", () => this.#step("undo"));
    this.#redo.addEventListener("click", () => this.#step("redo"));
    document.addEventListener("keydown", (event) => this.#key(event), { signal: ways.signal });
    editor.addEventListener("state", () => this.update());
    editor.addEventListener("change", () => this.update());
    this.update();
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const target = /** @type {Element | null} */ (event.target instanceof Element ? event.target : null);
    if (!this.element.isConnected) return; // another document is on the board
    if (!(event.ctrlKey || event.metaKey) || event.altKey || target?.closest("dialog, [data-own-undo]")) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    this.#step(key === "y" || event.shiftKey ? "redo" : "undo");
  }

  /** @param {"undo" | "redo"} way */
  #step(way) {
    const can = way === "undo" ? this.editor.canUndo : this.editor.canRedo;
    if (!can) return;
    this.editor[way]();
    say(way === "undo" ? "undone" : "done again");
  }

  update() {
    // aria-disabled, not disabled: a button that goes dead under the finger takes the focus with it
    this.#undo.setAttribute("aria-disabled", String(!this.editor.canUndo));
    this.#redo.setAttribute("aria-disabled", String(!this.editor.canRedo));
    const { state, problems } = this.editor.saver;
    this.element.dataset.state = state;
    setText(this.#line, this.#sentence());
    const key = JSON.stringify([state, problems, this.editor.otherDrafts.map((draft) => draft.tab)]);
    if (key === this.#told || state === "waiting" || state === "sending") return;
    this.#told = key;
    showProblems(this.ways.page, state === "problems" ? problems : [], this.ways.locate);
    this.#mend.hidden = state !== "problems";
    this.#mend.open = false;
    this.#list.replaceChildren(problemList(this.ways.page, problems, this.ways.locate));
    this.#more.replaceChildren(...this.#trouble(), ...this.#otherDrafts());
    if (state === "offline" || state === "problems" || state === "conflict") say(this.#sentence());
  }

  #sentence() {
    const { state, savedAt, problems, keepsDrafts } = this.editor.saver;
    const here = keepsDrafts ? "saved here, not yet on the server" : "not saved yet: keep this page open";
    switch (state) {
      case "saved":
        return savedAt ? `saved ${whenText(savedAt.toISOString(), new Date())}` : "saved";
      case "offline":
        return here;
      case "problems":
        return `${problems.length === 1 ? "one thing" : `${problems.length} things`} to mend; ${here}`;
      case "conflict":
        return `changed elsewhere; ${here}`;
      case "refused":
        return `the server refused it; ${here}`;
      default:
        return "saving …";
    }
  }

  #trouble() {
    const { state, problems } = this.editor.saver;
    if (state === "conflict") return [this.#conflict()];
    if (state === "refused") return [problemList(this.ways.page, problems), ...this.#restore()];
    return [];
  }

  #restore() {
    const { restore } = this.ways;
    if (!restore) return [];
    return [
      h(
        "button",
        { type: "button", onclick: () => restore().then(() => this.editor.saver.flush()) },
        `Bring ${this.ways.what} back`,
      ),
    ];
  }

  #conflict() {
    const editor = this.editor;
    return h(
      "div",
      { class: "conflict", role: "group", "aria-label": "changed elsewhere" },
      h(
        "p",
        {},
        `Another tab or device changed ${this.ways.what} while you were working on it. Both versions stay in its history.`,
      ),
      h("button", { type: "button", onclick: () => editor.saver.keepMine() }, "Keep mine as the new version"),
      h("button", { type: "button", onclick: () => editor.takeTheirs() }, "Take theirs"),
    );
  }

  #otherDrafts() {
    const now = new Date();
    return this.editor.otherDrafts.map((draft) =>
      h(
        "div",
        { class: "conflict" },
        h("p", {}, `There is another unsent version from ${whenText(draft.at, now)} in this browser.`),
        h("button", { type: "button", onclick: () => this.editor.adopt(draft) }, "Take that one"),
        h("button", { type: "button", onclick: () => this.editor.dismiss(draft) }, "Throw it away"),
      ),
    );
  }
}
