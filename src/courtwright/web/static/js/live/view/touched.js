/** Touches of the clock that are not its key. */

/** @import { FloorRun } from "../run.js" */

import { playedMs } from "../clock.js";

/**
 * @param {FloorRun} run
 * @param {"start" | "stop" | "set" | "end"} what
 * @param {number} [by_ms] more or less played than now
 */
export function touched(run, what, by_ms = 0) {
  const server_ms = run.server.ms;
  const played_ms = Math.max(0, Math.round(playedMs(run.state.clock, server_ms)) + by_ms);
  return run.tell("clock", { do: what, played_ms, server_ms });
}
