/** Who attacks and who defends at which spots, and who is next. */

/** @import { FloorRun } from "../run.js" */

import { h } from "../../view/dom.js";

/**
 * The figures of a side, in drawing order.
 * @param {Record<string, string>} figures
 * @param {boolean} defends
 */
export function sideOf(figures, defends) {
  return Object.keys(figures)
    .filter((figure) => figure.startsWith("X") === defends)
    .sort();
}

/**
 * Who comes on, in drawing order; where a side is not known yet, it is whoever wins.
 * @param {Record<string, string>} figures
 * @param {boolean} defends
 */
export function namesOf(figures, defends) {
  const names = sideOf(figures, defends).map((figure) => figures[figure]);
  return names.some((name) => name) ? names.map((name) => name || "nobody") : ["who wins"];
}

/**
 * The mark of a figure, as it stands on the drawing: a numbered ring or a cross.
 * @param {string} figure
 */
export function mark(figure) {
  return figure.startsWith("X")
    ? h("span", { class: "mark cross", "aria-hidden": "true" }, "×")
    : h("span", { class: "mark ring", "aria-hidden": "true" }, figure);
}

/** @param {FloorRun} run */
export function people(run) {
  const attacking = h("section", { class: "on attacking" });
  const defending = h("section", { class: "on defending" });
  const next = h("section", { class: "on next" });
  const element = h("div", { class: "people" }, attacking, defending, next);

  /** @param {string} figure */
  const spot = (figure) => {
    const placed = run.state.game.start.placements.find((/** @type {any} */ item) => item.figure === figure);
    if (placed?.guards) return `on ${placed.guards}`;
    return typeof placed?.at === "string" ? placed.at : "";
  };

  /** @param {string} title @param {boolean} defends */
  const side = (title, defends) => {
    const { figures } = run.state;
    const rows = sideOf(figures, defends).map((figure) =>
      h("li", {}, mark(figure), h("span", { class: "name" }, figures[figure] || "nobody"), h("span", { class: "spot" }, spot(figure))),
    );
    return [h("h2", {}, title), h("ul", {}, ...rows)];
  };

  const update = () => {
    const { state } = run;
    attacking.replaceChildren(...side("attacking", false));
    defending.replaceChildren(...side("defending", true));
    const { figures } = state.next;
    const comes = (/** @type {boolean} */ defends) => namesOf(figures, defends).join(", ");
    const variant = state.game.start.variants[state.next.start];
    next.replaceChildren(
      h("h2", {}, "next on"),
      h("p", { class: "attack" }, comes(false), h("span", {}, " attack")),
      h("p", { class: "defend" }, comes(true), h("span", {}, " defend")),
      ...(state.game.start.variants.length ? [h("p", { class: "spot" }, variant ? variant.name : "from the plain start")] : []),
    );
  };
  return { element, update };
}
