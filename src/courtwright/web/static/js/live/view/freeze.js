/** Play is stopped to teach: a cue, the moment on the board if wanted, and run it again. */

/** @import { FloorRun } from "../run.js" */

import { request } from "../../net/api.js";
import { h, setText } from "../../view/dom.js";
import { touchClock } from "./bar.js";

/** @param {FloorRun} run */
export function freeze(run) {
  const said = h("p", { class: "cue" });
  const own = h("input", { type: "text", maxlength: 200, "aria-label": "a cue of your own", placeholder: "a cue of your own" });
  const cues = h("div", { class: "cues", role: "group", "aria-label": "cues" });
  const board = h("p", { class: "board-link" });
  const element = h(
    "section",
    { class: "frozen", hidden: true, "aria-label": "freeze" },
    h("h2", {}, "Freeze"),
    said,
    cues,
    h("form", { class: "own", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), cue(own.value)) }, own, h("button", { type: "submit" }, "say it")),
    board,
    h(
      "div",
      { class: "row" },
      h("button", { type: "button", class: "key again", onclick: again }, "Run it again"),
      h("button", { type: "button", class: "key", onclick: goOn }, "Go on"),
    ),
  );
  let shown = "";
  let left = "";

  /** Stop play. */
  async function begin() {
    if (run.state.clock.running) await touchClock(run);
    await run.tell("freeze", {}, stopped());
    element.querySelector("button")?.focus();
  }

  /** The possession that is stopped: where nothing was called in this one yet, it is the one that has just ended. */
  function stopped() {
    const { possession, possessions } = run.state;
    const last = possessions.at(-1);
    return last && last.number < possession ? last.number : possession;
  }

  /** @returns {string} the freeze that stands now, or nothing */
  const event = () => run.state.freeze?.event ?? "";
  const frozenIn = () => run.facts.find((fact) => fact.event_id === event())?.possession;

  /** @param {string} text */
  async function cue(text) {
    const told = text.trim();
    if (told && event()) await run.tell("edit", { event: event(), detail: { cue: told } }, frozenIn());
    own.value = "";
  }

  async function again() {
    await run.tell("run it again", { freeze: event() }, frozenIn());
    if (!run.state.clock.running) await touchClock(run);
  }

  async function goOn() {
    left = event();
    update();
    if (!run.state.clock.running) await touchClock(run);
  }

  /** The start as a moment of this game, on a page of its own, to put everybody where they stood. */
  async function toBoard() {
    const { game_id } = run.opening;
    const { start, game } = run.state;
    const variant = start >= 0 && start < game.start.variants.length ? { variant: start } : {};
    const answer = await request("POST", `/api/games/${game_id}/moments`, { json: variant });
    if (!answer.ok) return setText(board, "The board needs the server; the cue is kept, and the moment can be put down later.");
    await run.tell("edit", { event: event(), detail: { moment_id: answer.body.id } }, frozenIn());
  }

  function update() {
    const { game } = run.state;
    const frozen = event();
    element.hidden = frozen === "" || frozen === left;
    if (element.hidden) return;
    const detail = run.state.freeze ?? {};
    setText(said, detail.cue ?? "");
    if (shown === frozen + (detail.moment_id ?? "")) return;
    shown = frozen + (detail.moment_id ?? "");
    cues.replaceChildren(
      ...[...game.cues, game.question].filter(Boolean).map((text) => h("button", { type: "button", class: "chip", onclick: () => cue(text) }, text)),
    );
    const place = `/games/${run.opening.game_id}#moment-${detail.moment_id}`;
    board.replaceChildren(
      detail.moment_id
        ? h("a", { href: place, target: "_blank" }, "Open the board: put everybody where they stood, and read it")
        : h("button", { type: "button", class: "quiet", onclick: toBoard }, "Put it on the board"),
    );
  }
  return { element, begin, update };
}
