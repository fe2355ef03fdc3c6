/** What was told last, whether it is safe, and the one key that takes it back. */

/** @import { FloorRun } from "../run.js" */

import { h, say, setText } from "../../view/dom.js";
import { callText, pointsText } from "./words.js";

/** @param {FloorRun} run */
export function last(run) {
  const what = h("p", { class: "what" });
  const safe = h("p", { class: "safe" });
  const undo = h("button", { type: "button", class: "undo", onclick: () => takeBack() }, "Undo");
  const element = h("footer", { class: "last" }, h("div", {}, what, safe), undo);

  async function takeBack() {
    const fact = await run.undo();
    say(fact ? `undone: ${callText(fact, run.state.figures)}` : "nothing of this device is left to undo");
  }

  const update = () => {
    const { state, waiting, live } = run;
    const fact = run.holding.at(-1);
    undo.disabled = run.mine.length === 0;
    const one = state.possessions.find((item) => item.calls.some((call) => call.events.includes(fact?.event_id ?? "")));
    const call = one?.calls.find((item) => item.events.includes(fact?.event_id ?? ""));
    const others = call ? new Set(call.called_by.filter((device) => device !== run.device)).size : 0;
    const detail = { ...fact?.detail, ...call?.detail };
    const text = fact ? callText({ kind: fact.kind, detail }, one?.figures ?? state.figures) : "nothing told yet";
    const points = one && one.result !== "open" ? ` · ${pointsText(one)}` : "";
    const also = others ? ` · also called by ${others} other device${others === 1 ? "" : "s"}` : "";
    const line = fact ? `last: ${text}${points}${also}` : text;
    if (what.textContent !== line && fact) say(line);
    setText(what, line);
    setText(safe, safeText(waiting, live));
    safe.classList.toggle("away", waiting > 0 && !live);
  };
  return { element, update };
}

/**
 * @param {number} waiting
 * @param {boolean} live
 */
function safeText(waiting, live) {
  if (waiting > 0) return live ? `sending ${waiting}` : `${waiting} safe on this device, waiting for the server`;
  return live ? "saved" : "saved · the server does not answer now; go on, it is kept here";
}
