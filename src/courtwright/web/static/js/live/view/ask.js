/** After a result: who, where, and what a rule of this game pays for. Each answer is an edit of what was told already. */

/** @import { Fact } from "../../types.js" */
/** @import { FloorRun } from "../run.js" */

import { h, s } from "../../view/dom.js";
import { mark, sideOf } from "./people.js";
import { callText, named } from "./words.js";

const HALF_WIDTH_M = 7.5;
const DEPTH_M = 11;
/** whom a kind can be about: the attack, the defence, or either */
const ABOUT = /** @type {Record<string, string>} */ ({
  make: "attack",
  miss: "attack",
  turnover: "attack",
  charge: "defence",
  steal: "defence",
  deflection: "defence",
  block: "defence",
  "box-out": "defence",
  "defensive rebound": "defence",
  foul: "either",
});
const PLACED = new Set(["make", "miss"]);

/** @param {FloorRun} run */
export function ask(run) {
  const element = h("section", { class: "ask", "aria-label": "about the last call", hidden: true });
  /** @type {Fact | null} */ let asked = null;
  /** @type {Record<string, string>} */ let figures = {};
  /** @type {Set<string>} */ let answered = new Set();

  /** @param {Record<string, any>} detail @param {string} part */
  async function put(detail, part) {
    if (!asked) return;
    answered.add(part);
    await run.tell("edit", { event: asked.event_id, detail }, asked.possession);
    asked = { ...asked, detail: { ...asked.detail, ...detail } };
    draw();
  }

  /** @param {string} name whether a point rule in force pays for it */
  const paid = (name) =>
    run.state.game.points.some((/** @type {any} */ rule) => run.opening.register.points[rule.rule]?.counts.includes(name));

  /**
   * A question with its answers; nothing where it was answered already.
   * @param {string} title
   * @param {string} part what is answered
   * @param {...HTMLElement} answers
   */
  const question = (title, part, ...answers) =>
    answered.has(part)
      ? null
      : h("div", { class: "choices", role: "group", "aria-label": title }, h("span", { class: "title" }, title), ...answers);

  /** @param {(string | Node)[]} words @param {() => unknown} tap */
  const answer = (words, tap) => h("button", { type: "button", class: "figure", onclick: tap }, ...words);

  /**
   * @param {string} title
   * @param {string[]} choices figures
   * @param {string} part
   */
  const who = (title, choices, part) =>
    question(title, part, ...choices.map((figure) => answer([mark(figure), named(figure, figures)], () => put({ [part]: figure }, part))));

  function parts() {
    if (!asked) return [];
    const { kind, detail } = asked;
    const about = kind === "violation" ? sideOfRule(detail.rule) : (ABOUT[kind] ?? "attack");
    const attack = sideOf(figures, false);
    const defence = sideOf(figures, true);
    const choices = about === "attack" ? attack : about === "defence" ? defence : [...defence, ...attack];
    const mates = attack.filter((figure) => figure !== detail.who);
    return [
      who("who?", choices, "who"),
      kind === "make" && paid("make_assisted") ? who("assist?", mates, "assist") : null,
      kind === "make" && paid("make_kick_out") ? question("off a kick-out?", "kick_out", answer(["yes"], () => put({ kick_out: true }, "kick_out"))) : null,
      kind === "turnover" && paid("steal") ? who("stolen by?", defence, "by") : null,
      kind === "foul" && run.state.game.ending.foul === "free throws" ? freeThrows() : null,
      PLACED.has(kind) && !answered.has("place") ? where() : null,
    ];
  }

  /** @param {string} rule */
  const sideOfRule = (rule) => (run.opening.register.constraints[rule]?.side === "defence" ? "defence" : "attack");

  function freeThrows() {
    const possession = asked?.possession ?? run.state.possession;
    const who = asked?.detail.on ? { who: asked.detail.on } : {};
    /** @param {boolean} made */
    const tell = (made) => () => run.tell("free throw", { made, ...who }, possession);
    return question("free throw", "free throw", answer(["made"], tell(true)), answer(["missed"], tell(false)));
  }

  /** A half court to tap on; the basket is at the top, as on the drawing. */
  function where() {
    const court = s(
      "svg",
      { class: "tap-court", viewBox: `${-HALF_WIDTH_M} -1.6 ${2 * HALF_WIDTH_M} ${DEPTH_M}`, role: "img", "aria-label": "where on the court" },
      s("rect", { x: -HALF_WIDTH_M, y: -1.575, width: 2 * HALF_WIDTH_M, height: DEPTH_M, class: "floor" }),
      s("rect", { x: -2.45, y: -1.575, width: 4.9, height: 5.8, class: "line" }),
      s("path", { d: "M-6.6 -1.575V1.41A6.75 6.75 0 0 0 6.6 1.41V-1.575", class: "line" }),
      s("circle", { cx: 0, cy: 0, r: 0.225, class: "line" }),
    );
    court.addEventListener("click", (event) => {
      const box = court.getBoundingClientRect();
      const x = ((event.clientX - box.x) / box.width - 0.5) * 2 * HALF_WIDTH_M;
      const y = ((event.clientY - box.y) / box.height) * DEPTH_M - 1.6;
      void put({ place: [Math.round(x * 10) / 10, Math.round(y * 10) / 10] }, "place");
    });
    return h("div", { class: "choices place" }, h("span", { class: "title" }, "where?"), court);
  }

  function draw() {
    const shown = parts().filter((part) => part !== null);
    element.hidden = asked === null || shown.length === 0;
    if (!asked || element.hidden) return;
    const done = h("button", { type: "button", class: "done", onclick: hide }, "done");
    element.replaceChildren(h("p", { class: "told" }, callText(asked, figures)), h("div", { class: "parts" }, ...shown), done);
  }

  function hide() {
    asked = null;
    draw();
  }

  /** @param {Fact} fact what was just told @param {Record<string, string>} stood who stood where then */
  function about(fact, stood) {
    asked = fact;
    figures = stood;
    answered = new Set();
    draw();
  }
  return { element, about, hide };
}
