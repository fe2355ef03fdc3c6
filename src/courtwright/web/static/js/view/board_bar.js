/** Under the board: what is laid on it, and the drive of a chosen row, played. */

import { floorShares } from "../model/moment.js";
import { same } from "../model/path.js";
import { request } from "../net/api.js";
import { appear, h, newId, say } from "./dom.js";
import { fillOptions } from "./fields.js";
import { gapLayer, laneLayer, laneWords } from "./layers.js";
import { Player } from "./player.js";
import { rowText } from "./reading_tables.js";
import { spaceLayer } from "./space.js";

/** @import { Board, Look } from "./board.js" */
/** @import { Point } from "../types.js" */
/** @import { ReadingPanel } from "./reading.js" */
/** @import { Row } from "./reading_tables.js" */

const NONE = "none";

export class BoardBar {
  #gaps = h("input", { type: "checkbox", id: newId("layer") });
  #lanes = h("input", { type: "checkbox", id: newId("layer") });
  #map = h("input", { type: "checkbox", id: newId("layer") });
  #drive = h("select", { id: newId("drive") });
  #choice = h("span", { class: "choice drive", hidden: true }, h("label", { for: this.#drive.id }, "drive"), this.#drive);
  #player;
  /** @type {unknown} what the timeline on show was asked with */ #asked = null;

  /**
   * @param {Board} board
   * @param {ReadingPanel} reading
   */
  constructor(board, reading) {
    this.board = board;
    this.reading = reading;
    this.#player = new Player((played) => board.play(played));
    const box = (/** @type {HTMLInputElement} */ input, /** @type {string} */ text) =>
      h("label", { class: "choice", for: input.id }, input, ` ${text}`);
    const layers = h(
      "div",
      { class: "choices", role: "group", "aria-label": "on the board" },
      box(this.#gaps, "gaps"),
      box(this.#lanes, "passing lanes"),
      box(this.#map, "who is first where"),
      this.#choice,
    );
    this.element = h("div", { class: "board-bar" }, layers, this.#player.element);
    board.marks = (places, look) => this.#marks(places, look);
    board.touched = () => this.#player.rest();
    this.#gaps.addEventListener("change", () => board.refresh());
    for (const input of [this.#lanes, this.#map]) input.addEventListener("change", () => this.#need());
    this.#drive.addEventListener("change", () => reading.choose(JSON.parse(this.#drive.value)));
    reading.addEventListener("read", () => this.#read());
    reading.addEventListener("choice", () => (this.#chosen(), reading.chosen && appear(board.element)));
  }

  #need() {
    this.reading.need(this.#lanes.checked || this.#map.checked);
    this.#read();
    const { reading } = this.reading;
    if (!reading || !this.#map.checked) return;
    const shares = floorShares(reading.map);
    say(`The attack is first to ${Math.round(shares.offence * 100)} % of the half court.`);
  }

  /**
   * @param {Map<string, Point>} places
   * @param {Look} look
   */
  #marks(places, look) {
    const reading = this.reading.active ? this.reading.reading : null;
    const { court } = this.board;
    const lanes = this.#lanes.checked ? reading : null;
    const taken = [...look.taken, ...(lanes ? laneWords(places, court, lanes) : [])];
    return [
      lanes && laneLayer(places, court, lanes, look),
      this.#gaps.checked ? gapLayer(places, court, { ...look, taken }) : null,
    ];
  }

  #read() {
    const reading = this.reading.active ? this.reading.reading : null;
    this.board.lay(reading && this.#map.checked ? spaceLayer(reading.map, this.board.court) : null);
    if (!this.board.dragged) this.board.mark();
    this.#fill();
    this.#chosen();
  }

  /** The rows that can be played. */
  #fill() {
    const helpers = this.reading.active ? (this.reading.reading?.help ?? []) : [];
    /** @type {(Row | null)[]} */
    const rows = helpers.flatMap(({ helper, rows }) => rows.map((row) => ({ helper, cue: row.leaves })));
    this.#choice.hidden = !this.reading.active || !this.reading.reading;
    fillOptions(this.#drive, [
      ["null", NONE],
      ...[...rows, { helper: null, cue: "never" }].map(
        (row) => /** @type {const} */ ([JSON.stringify(row), rowText(/** @type {Row} */ (row))]),
      ),
    ]);
    this.#drive.value = JSON.stringify(this.reading.chosen);
  }

  async #chosen() {
    const row = this.reading.active ? this.reading.chosen : null;
    this.#drive.value = JSON.stringify(this.reading.chosen);
    if (this.board.dragged) return;
    const drive = row && { ...this.reading.asked(), ...row };
    this.board.draw(drive);
    const asked = drive && { ...drive, moment: this.board.subject.moment(this.board.places()) };
    if (same(asked, this.#asked)) return;
    this.#asked = asked;
    if (!asked) return this.#player.take(null);
    const answer = await request("POST", "/api/read/timeline", { json: asked });
    if (asked === this.#asked) this.#player.take(answer.ok ? answer.body : null);
  }
}
