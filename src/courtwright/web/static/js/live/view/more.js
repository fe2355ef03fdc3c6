/** Everything that is needed now and then, one tap deeper. */

/** @import { Fact } from "../../types.js" */
/** @import { FloorRun } from "../run.js" */

import { h } from "../../view/dom.js";
import { here } from "./here.js";
import { touched } from "./touched.js";
import { callText, scores } from "./words.js";

const SEEN = ["paint touch", "kick-out", "extra pass", "deflection", "block", "steal", "box-out", "offensive rebound", "defensive rebound"];
const LATELY = 10;
const MISSED = /** @type {[string, string, Record<string, any>][]} */ ([
  ["score, rim", "make", { zone: "rim" }],
  ["score, mid", "make", { zone: "mid" }],
  ["score, three", "make", { zone: "three" }],
  ["stop", "miss", { rebound: "defence" }],
  ["turnover", "turnover", {}],
]);

/**
 * @param {FloorRun} run
 * @param {(fact: Fact) => void} told
 */
export function more(run, told) {
  const body = h("div", { class: "body" });
  const close = h("button", { type: "button", class: "close", onclick: () => element.close() }, "Close");
  const element = h("dialog", { class: "more", "aria-label": "more" }, h("header", {}, h("h2", {}, "More"), close), body);
  element.addEventListener("click", (event) => event.target === element && element.close());

  /** @param {string} kind @param {Record<string, any>} [detail] @param {number} [possession] */
  const tell = (kind, detail, possession) => async () => {
    element.close();
    told(await run.tell(kind, detail, possession));
  };
  /** @param {string} text @param {() => unknown} tap @param {Record<string, any>} [props] */
  const key = (text, tap, props = {}) => h("button", { type: "button", class: "small", onclick: tap, ...props }, text);
  /** @param {string} title @param {...(Node | null)} parts */
  const part = (title, ...parts) => h("section", {}, h("h3", {}, title), h("div", { class: "row" }, ...parts));

  function missed() {
    const { possession, possessions } = run.state;
    const before = possession - 1;
    if (before < 1) return null;
    const inserted = Math.max(0, ...possessions.filter((one) => one.number === before).map((one) => one.inserted)) + 1;
    if (inserted > 9) return null;
    return part(`A possession was missed after number ${before}`, ...MISSED.map(([text, kind, detail]) => key(text, tell(kind, { ...detail, inserted }, before))));
  }

  function tags() {
    return run.opening.tags.map(({ tag, opportunity }) => {
      const on = run.state.watching.includes(tag);
      return part(
        `${tag}${opportunity ? ` · an opportunity is ${opportunity}` : ""}`,
        key(on ? "watching" : "not watched", () => run.tell("watching", { tag, on: !on }), { "aria-pressed": String(on) }),
        ...(on ? [key("yes", tell("tag", { tag, did: true })), key("not this time", tell("tag", { tag, did: false }))] : []),
      );
    });
  }

  function called() {
    const fields = scores(run.opening, run.state).map(([whose]) => h("input", { type: "number", inputmode: "numeric", min: -999, max: 999, required: true, "aria-label": `${whose}, as the players call it` }));
    const form = h("form", { class: "row" }, ...fields, h("button", { type: "submit", class: "small" }, "they say"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      element.close();
      void run.tell("claim", { score: fields.map((field) => Number(field.value)) });
    });
    const { claims } = run.state;
    const last = claims.at(-1);
    const text = last ? `Last called ${last.said.join(" : ")}, logged ${last.logged.join(" : ")}${last.agrees ? ": the same" : ""}.` : "What they say is set beside the logged score and changes nothing.";
    return h("section", {}, h("h3", {}, "The players call the score"), form, h("p", {}, text));
  }

  function lately() {
    const facts = run.holding.slice(-LATELY).reverse();
    const rows = facts.map((fact) => {
      const one = run.state.possessions.find((item) => item.number === fact.possession);
      const figures = one?.figures ?? run.state.figures;
      return h(
        "li",
        {},
        h("span", {}, `${fact.possession}: ${callText(fact, figures)}`),
        key("about it", () => (element.close(), told(fact)), { "aria-label": `about ${callText(fact, figures)}` }),
        key("undo", () => run.tell("undo", { event: fact.event_id }, fact.possession), { "aria-label": `undo ${callText(fact, figures)}` }),
      );
    });
    return h("section", {}, h("h3", {}, "Told lately"), h("ul", { class: "lately-told" }, ...rows));
  }

  function over() {
    const { ended } = run.state.clock;
    const tap = async () => {
      element.close();
      await touched(run, ended ? "start" : "end");
    };
    return part("This run", key(ended ? "go on after all" : "end the run", tap), h("a", { class: "small", href: "/floor" }, "all runs"));
  }

  function update() {
    if (!element.open) return;
    const forms = run.opening.forms.map(({ say, game }) => key(say, tell("game changed", { game, say })));
    const clock = [-60, -10, 10, 60].map((seconds) =>
      key(`${seconds > 0 ? "+" : "−"}${Math.abs(seconds)} s`, () => touched(run, "set", -1000 * seconds)),
    );
    const drawn = [
      part("Also seen", ...SEEN.map((kind) => key(kind, tell(kind)))),
      part("This possession", key("leave it without a result", tell("possession", { do: "skip" }))),
      missed(),
      forms.length ? part("Easier, harder", ...forms, key("as it was opened", tell("game changed", { game: run.opening.game }))) : null,
      ...tags(),
      part("Left on the clock", ...clock),
      here(run),
      called(),
      lately(),
      over(),
    ];
    body.replaceChildren(...drawn.filter((item) => item !== null));
  }

  function open() {
    element.showModal();
    update();
  }
  return { element, open, update };
}
