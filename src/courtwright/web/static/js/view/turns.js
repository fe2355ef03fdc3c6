/** The first turns of the rota: who stands where, and how fair it is. */

import { get, problemsIn } from "../net/api.js";
import { h, setText } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Rota, Turn } from "../types.js" */
/** @import { TrialPanel } from "./trial.js" */

const FIRST = 6;
const REST_MS = 300;

export class TurnsPanel {
  /** @type {Rota | null} */ #rota = null;
  #all = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;
  #asked = "";
  #table = h("div", { class: "turn-table" });
  #sentence = h("p", { class: "sentence" });
  #more = h("button", { type: "button", class: "link" });
  #whole = h("a", { class: "button" }, "Who plays where");
  #print = h("a", { class: "button", target: "_blank", rel: "noopener" }, "Print the sheet (PDF)");

  /**
   * @param {Editor<Game>} editor
   * @param {string} game
   * @param {TrialPanel} trial whose minutes and seed hold for the turns too
   */
  constructor(editor, game, trial) {
    this.game = game;
    this.#whole.href = `/games/${game}/rota`;
    this.editor = editor;
    this.trial = trial;
    this.element = h(
      "section",
      { class: "turns" },
      h("h2", {}, "Turns"),
      this.#table,
      this.#more,
      this.#sentence,
      h("p", { class: "buttons" }, this.#whole, " ", this.#print),
    );
    this.#more.addEventListener("click", () => ((this.#all = !this.#all), this.#show()));
    trial.addEventListener("setting", () => this.update());
    editor.saver.addEventListener("saved", () => this.update());
    this.update();
  }

  update() {
    const { minutes, seed } = this.trial.setting;
    const query = new URLSearchParams({ minutes: String(minutes), seed: String(seed) });
    this.#print.href = `/games/${this.game}.pdf?${query}`;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#ask(`/api/games/${this.game}/rota?${query}`), REST_MS);
  }

  /** @param {string} url */
  async #ask(url) {
    const asked = `${url}#${this.editor.saver.hash}`;
    if (asked === this.#asked) return;
    const answer = await get(url);
    if (answer.status === 0) return;
    this.#asked = asked;
    this.#rota = answer.ok ? answer.body : null;
    if (answer.ok) this.#show();
    else this.#refuse(problemsIn(answer));
  }

  /** @param {import("../types.js").Problem[]} problems */
  #refuse(problems) {
    this.#table.replaceChildren(problemList(document, problems));
    this.#more.hidden = true;
    setText(this.#sentence, "");
  }

  #show() {
    const rota = this.#rota;
    if (!rota) return;
    const shown = this.#all ? rota.turns : rota.turns.slice(0, FIRST);
    const heads = ["turn", "attack", "defend", "off"].map((text) => h("th", { scope: "col" }, text));
    const body = shown.map(turnRow);
    this.#table.replaceChildren(
      h(
        "table",
        {},
        h("caption", { class: "unseen" }, "Who plays where, turn by turn"),
        h("thead", {}, h("tr", {}, ...heads)),
        h("tbody", {}, ...body),
      ),
    );
    this.#more.hidden = rota.turns.length <= FIRST;
    setText(this.#more, this.#all ? `Show the first ${FIRST} only` : `Show all ${rota.turns.length} turns`);
    setText(this.#sentence, rota.sentence);
  }
}

/** @param {Turn} turn */
function turnRow(turn) {
  const standing = (/** @type {string[]} */ players, /** @type {string} */ prefix) =>
    players.map((player, place) => h("span", { class: "stand" }, h("b", {}, `${prefix}${place + 1}`), ` ${player}`));
  return h(
    "tr",
    {},
    h("th", { scope: "row" }, turn.turn),
    h("td", { class: "offence" }, ...standing(turn.offence, ""), ...standing(turn.neutral, "N")),
    h("td", { class: "defence" }, ...standing(turn.defence, "X")),
    h("td", { class: "off" }, turn.off.join(", ") || "–"),
  );
}
