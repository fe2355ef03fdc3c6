/** The head of the floor: which game, which possession, the clock, the score. The clock is a key. */

/** @import { FloorRun } from "../run.js" */

import { h, setText } from "../../view/dom.js";
import { playedMs } from "../clock.js";
import { clockText, scores } from "./words.js";

/**
 * How much is left, or how much was played where no end is set.
 * @param {FloorRun} run
 */
export function shownMs(run) {
  const played = playedMs(run.state.clock, run.server.ms);
  const minutes = run.state.game.finish?.minutes;
  return minutes ? Math.max(0, minutes * 60_000 - played) : played;
}

/** @param {FloorRun} run */
export function touchClock(run) {
  const { clock } = run.state;
  const server_ms = run.server.ms;
  return run.tell("clock", { do: clock.running ? "stop" : "start", played_ms: Math.round(playedMs(clock, server_ms)), server_ms });
}

/** @param {FloorRun} run */
export function bar(run) {
  const where = h("p", { class: "where" });
  const clock = h("button", { type: "button", class: "clock", onclick: () => touchClock(run) });
  const score = h("div", { class: "score" });
  const element = h("header", { class: "bar" }, h("div", { class: "what" }, h("h1", {}, run.opening.game.name), where), clock, score);

  const tick = () => {
    const { running } = run.state.clock;
    const left = shownMs(run);
    setText(clock, clockText(left));
    clock.classList.toggle("stopped", !running);
    clock.classList.toggle("time", left === 0 && Boolean(run.state.game.finish?.minutes));
    clock.setAttribute("aria-label", `${clockText(left)}, ${running ? "running: stop" : "stopped: start"} the clock`);
  };
  setInterval(tick, 200);

  const update = () => {
    const { state, opening } = run;
    const form = state.said ? ` · ${state.said}` : "";
    setText(where, `possession ${state.possession} · ${opening.basket}${form}`);
    score.replaceChildren(
      ...scores(opening, state).map(([whose, points], index) =>
        h("p", { class: opening.teams.length ? `team team-${index}` : whose }, h("span", {}, whose), h("strong", {}, points)),
      ),
    );
    tick();
  };
  return { element, update };
}
