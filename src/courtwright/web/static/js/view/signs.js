/** The signs of the board at the size of a letter: a circle attacks, a cross defends. */

import { h, s } from "./dom.js";

/**
 * @param {string} side `offence` or `defence`
 */
export function sideMark(side) {
  const shape = side === "defence" ? s("path", { d: "M2 2L10 10M2 10L10 2" }) : s("circle", { cx: 6, cy: 6, r: 4.4 });
  const sign = s("svg", { viewBox: "0 0 12 12", class: `sign ${side}`, "aria-hidden": "true" }, shape);
  return h("span", {}, sign, h("span", { class: "unseen" }, `${side}: `));
}
