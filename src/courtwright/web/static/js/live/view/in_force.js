/** What is in force, one tap to switch; and the last ten possessions, which say whether to. */

/** @import { FloorRun } from "../run.js" */

import { h, keepFocus } from "../../view/dom.js";
import { limitText, paidText, scored } from "./words.js";

const LAST = 10;

/**
 * Rules of the game that was opened and those brought in since, each once.
 * @param {any[]} opened
 * @param {any[]} now
 * @param {(item: any) => string} key
 */
export function offered(opened, now, key) {
  const items = new Map([...opened, ...now].map((item) => [key(item), item]));
  const on = new Map(now.map((item) => [key(item), item]));
  return [...items].map(([name, item]) => ({ name, item: on.get(name) ?? item, on: on.has(name) }));
}

/** @param {FloorRun} run */
export function inForce(run) {
  const chips = h("div", { class: "chips", role: "group", "aria-label": "in force now" });
  const dots = h("div", { class: "dots", role: "img" });
  const told = h("p", { class: "told" });
  const element = h("section", { class: "force" }, h("div", {}, h("h2", {}, "in force now · tap to switch"), chips), h("div", { class: "lately" }, h("h2", {}, "last ten"), dots, told));

  /** @param {string} text @param {boolean} on @param {string} key @param {Record<string, any>} detail */
  const chip = (text, on, key, detail) =>
    h(
      "button",
      { type: "button", class: "chip", "aria-pressed": String(on), "data-key": key, onclick: () => run.tell("constraint switched", { on: !on, ...detail }) },
      text,
    );

  const update = () => {
    const { opening, state } = run;
    const limits = offered(opening.game.constraints, state.game.constraints, (item) => `${item.rule} ${item.figure ?? ""}`);
    const points = offered(opening.game.points, state.game.points, (item) => `${item.rule} ${item.to ?? ""}`);
    keepFocus(chips, () =>
      chips.replaceChildren(
        ...limits.map(({ name, item, on }) => chip(limitText(item, opening), on, `limit ${name}`, { constraint: item })),
        ...points.map(({ name, item, on }) => chip(paidText(item, opening), on, `points ${name}`, { points: item })),
      ),
    );
    const last = state.possessions.filter((one) => one.result !== "open").slice(-LAST);
    const made = last.filter(scored).length;
    dots.setAttribute("aria-label", last.map((one) => `${one.number}: ${one.result}`).join("; ") || "nothing yet");
    dots.replaceChildren(...last.map((one) => h("span", { class: scored(one) ? "dot scored" : "dot", title: `${one.number}: ${one.result}` })));
    told.textContent = last.length ? `attack scored in ${made} of ${last.length}` : "nothing yet";
  };
  return { element, update };
}
