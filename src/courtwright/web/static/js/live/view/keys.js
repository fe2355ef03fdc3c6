/** The keys: one tap tells a result. Whatever else is worth knowing is asked afterwards, and nothing waits for it. */

/** @import { Fact } from "../../types.js" */
/** @import { FloorRun } from "../run.js" */

import { h } from "../../view/dom.js";
import { limitText } from "./words.js";

/**
 * @typedef {object} Told what the keys tell the page
 * @property {(fact: Fact) => void} told a result, to be asked about
 * @property {() => void} freeze
 * @property {() => void} more
 */

/**
 * @param {FloorRun} run
 * @param {Told} to
 */
export function keys(run, to) {
  /** @param {string} kind @param {Record<string, any>} [detail] */
  const tell = (kind, detail) => async () => to.told(await run.tell(kind, detail));
  /** @param {string} text @param {() => void} tap @param {string} [look] @param {string} [says] */
  const key = (text, tap, look = "", says = text) =>
    h("button", { type: "button", class: `key ${look}`, onclick: tap, "aria-label": says }, text);

  const which = h("div", { class: "which", hidden: true, role: "group", "aria-label": "which rule" });
  const element = h(
    "div",
    { class: "keys" },
    h(
      "fieldset",
      { class: "group made" },
      h("legend", {}, "Score"),
      ...["rim", "mid", "three"].map((zone) => key(zone, tell("make", { zone }), "", `score, ${zone}`)),
    ),
    h(
      "fieldset",
      { class: "group miss" },
      h("legend", {}, "Miss"),
      key("defence has it", tell("miss", { rebound: "defence" }), "", "miss, defence has it"),
      key("attack has it", tell("miss", { rebound: "offence" }), "", "miss, attack has it"),
    ),
    h(
      "div",
      { class: "row" },
      key("Turnover", tell("turnover"), "ends"),
      key("Violation", () => violation(), "ends"),
      key("Foul", tell("foul")),
      key("Charge", tell("charge")),
      key("More", to.more, "quiet"),
      key("Freeze", to.freeze, "freeze", "Freeze: stop and teach"),
    ),
    which,
  );

  /** Which rule was broken is asked only where several are in force. */
  function violation() {
    const { constraints } = run.state.game;
    const rules = [...new Map(constraints.map((/** @type {any} */ item) => [item.rule, item])).values()];
    if (rules.length < 2) {
      which.hidden = true;
      void tell("violation", { rule: rules[0]?.rule ?? "house rule" })();
      return;
    }
    which.hidden = !which.hidden;
    which.replaceChildren(
      ...rules.map((item) =>
        key(limitText(item, run.opening), () => {
          which.hidden = true;
          void tell("violation", { rule: item.rule })();
        }),
      ),
    );
    /** @type {HTMLElement | null} */ (which.firstElementChild)?.focus();
  }

  const update = () => {
    element.classList.toggle("over", Boolean(run.state.over));
  };
  return { element, update };
}
