/** The clock of a run, on the server's time, so that devices need not agree. The twin of `live/clock.py`. */

/** @import { ClockState, Fact } from "../types.js" */

import { told } from "./corrections.js";

/**
 * The clock after every touch, in the order they were told.
 * @param {Fact[]} facts
 * @returns {ClockState}
 */
export function clockOf(facts) {
  let clock = { running: false, played_ms: 0, server_ms: 0, ended: false };
  for (const fact of facts.filter((one) => one.kind === "clock").sort(told)) {
    const { do: what, played_ms, server_ms } = fact.detail;
    if (what === "set") clock = { ...clock, played_ms, server_ms };
    else if (what !== "start" || !clock.running) {
      const ended = what === "end" || (clock.ended && what === "stop");
      clock = { running: what === "start", played_ms, server_ms, ended };
    }
  }
  return clock;
}

/**
 * Time played at a moment of the server's clock.
 * @param {ClockState} clock
 * @param {number} server_ms
 */
export function playedMs(clock, server_ms) {
  return clock.played_ms + (clock.running ? Math.max(0, server_ms - clock.server_ms) : 0);
}
