/** What is asked: who is here, the rule, teams, baskets, turns, wishes. Every change is planned at once. */

import { h, newId } from "../view/dom.js";

/** @import { RotaState } from "./state.js" */
/** @import { Vocabulary, WishAsked } from "../types.js" */

const PAIRS = ["apart", "together"];
const COUNTED = ["at most", "in a row", "from turn", "to turn"];
const KINDS = {
  apart: "keep apart",
  together: "keep together",
  "at most": "at most … turns",
  "in a row": "at most … turns in a row",
  "only at": "only at the places …",
  "from turn": "comes late, from turn …",
  "to turn": "leaves after turn …",
  guest: "guest: sits first",
};

/**
 * @param {RotaState} state
 * @param {Vocabulary} words
 */
export function askedForm(state, words) {
  const element = h("div", { class: "asked" });
  const update = () => {
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.key : undefined;
    element.replaceChildren(people(state), rules(state, words), wishes(state), played(state));
    if (focused) /** @type {HTMLElement | null} */ (element.querySelector(`[data-key="${focused}"]`))?.focus();
  };
  return { element, update };
}

/** @param {RotaState} state */
function people(state) {
  const gone = new Set(state.asked.wishes.filter((wish) => wish.kind === "to turn").flatMap((wish) => wish.players));
  const rows = state.asked.names.map((name) =>
    h(
      "li",
      { class: gone.has(name) ? "gone" : null },
      name,
      gone.has(name)
        ? null
        : h("button", { type: "button", class: "drop", "aria-label": `${name} goes`, onclick: () => state.goes(name) }, "×"),
    ),
  );
  const name = h("input", { type: "text", maxlength: 40, required: true, "data-key": "newcomer", "aria-label": "somebody who comes", placeholder: "somebody who comes" });
  const form = h("form", { class: "row" }, name, h("button", { type: "submit" }, "add"));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const said = name.value.trim();
    if (said && !state.asked.names.includes(said)) void state.comes(said);
  });
  return h("section", {}, h("h2", {}, `Players (${state.asked.names.length - gone.size})`), h("ul", { class: "names" }, ...rows), form);
}

/**
 * @param {RotaState} state
 * @param {Vocabulary} words
 */
function rules(state, words) {
  const { asked } = state;
  const surprise = h("input", { type: "checkbox", checked: asked.surprise, "data-key": "surprise" });
  surprise.addEventListener("change", () => state.plan({ surprise: surprise.checked }));
  return h(
    "section",
    {},
    h("h2", {}, "Game"),
    choice("who plays next", asked.rule, words.rota, (rule) => state.plan({ rule })),
    choice("teams", asked.teams, words.teams, (teams) => state.plan({ teams })),
    number("baskets", asked.baskets, 1, 8, (baskets) => state.plan({ baskets, played: [] })),
    number("turns", asked.turns, Math.max(1, state.played), 600, (turns) => state.plan({ turns })),
    h("label", { class: "tick" }, surprise, h("span", {}, "no order that players could learn")),
    h(
      "p",
      { class: "buttons" },
      h("button", { type: "button", onclick: () => state.plan({ seed: asked.seed + 1 }) }, "Deal anew"),
      h("button", { type: "button", onclick: () => state.plan({}, true) }, "Look longer"),
    ),
  );
}

/** @param {RotaState} state */
function wishes(state) {
  const rows = state.asked.wishes.map((wish, at) =>
    h(
      "li",
      { "data-place": `wish ${at + 1}` },
      wishText(wish),
      h("button", { type: "button", class: "drop", "aria-label": `give up: ${wishText(wish)}`, onclick: () => state.plan({ wishes: state.asked.wishes.filter((_, place) => place !== at) }) }, "×"),
    ),
  );
  return h(
    "section",
    {},
    h("h2", {}, "Wishes"),
    rows.length ? h("ul", { class: "wishes" }, ...rows) : h("p", { class: "hint" }, "None. They are kept exactly, or what contradicts is named."),
    newWish(state),
    h("p", { class: "hint" }, "How much a player who comes back after an injury may do is for qualified people to say; a limit only keeps what they said."),
  );
}

/** @param {WishAsked} wish */
export function wishText(wish) {
  const who = wish.players.join(" and ");
  const turns = wish.number === 1 ? "1 turn" : `${wish.number} turns`;
  const said = {
    apart: "apart",
    together: "together",
    "at most": `at most ${turns}`,
    "in a row": `at most ${turns} in a row`,
    "only at": `only at ${wish.figures.join(", ")}`,
    "from turn": `from turn ${wish.number}`,
    "to turn": `until turn ${wish.number}`,
    guest: "guest",
  };
  return `${who}: ${said[/** @type {keyof typeof said} */ (wish.kind)] ?? wish.kind}`;
}

/** @param {RotaState} state */
function newWish(state) {
  const kinds = Object.entries(KINDS).map(([kind, text]) => h("option", { value: kind }, text));
  const kind = h("select", { "aria-label": "kind of wish", "data-key": "wish kind" }, ...kinds);
  const names = () => state.asked.names.map((name) => h("option", { value: name }, name));
  const one = h("select", { "aria-label": "player" }, ...names());
  const other = h("select", { "aria-label": "and" }, ...names());
  const count = h("input", { type: "number", min: 1, max: 600, value: 4, "aria-label": "number" });
  const places = h("input", { type: "text", placeholder: "1, X1", "aria-label": "places", pattern: "[XN]?[1-9]( *, *[XN]?[1-9])*" });
  other.selectedIndex = Math.min(1, state.asked.names.length - 1);
  const fit = () => {
    other.hidden = !PAIRS.includes(kind.value);
    count.hidden = !COUNTED.includes(kind.value);
    places.hidden = kind.value !== "only at";
    places.required = !places.hidden;
  };
  kind.addEventListener("change", fit);
  fit();
  const form = h("form", { class: "row wish" }, kind, one, other, count, places, h("button", { type: "submit" }, "add"));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const players = other.hidden ? [one.value] : [one.value, other.value];
    const figures = places.hidden ? [] : places.value.split(",").map((figure) => figure.trim().toUpperCase());
    const wish = { kind: kind.value, players, number: count.hidden ? 0 : count.valueAsNumber, figures };
    void state.plan({ wishes: [...state.asked.wishes, wish] });
  });
  return form;
}

/** @param {RotaState} state */
function played(state) {
  const count = h("input", { type: "number", min: 0, max: state.asked.turns, value: state.played, "data-key": "played", id: newId("played") });
  const stand = () => state.stand(Math.max(0, Math.min(state.asked.turns, count.valueAsNumber || 0)));
  count.addEventListener("change", stand);
  return h(
    "section",
    {},
    h("h2", {}, "In the middle of it"),
    h("p", { class: "field" }, h("label", { for: count.id }, "turns played so far"), count),
    h("p", { class: "hint" }, "They stand. Who comes or goes then does so from the next turn on, and only the rest is planned anew."),
  );
}

/**
 * @param {string} label
 * @param {string} value
 * @param {string[]} options
 * @param {(value: any) => void} changed
 */
function choice(label, value, options, changed) {
  const select = h("select", { id: newId("choice"), "data-key": label }, ...options.map((option) => h("option", { value: option, selected: option === value }, option)));
  select.addEventListener("change", () => changed(select.value));
  return h("p", { class: "field" }, h("label", { for: select.id }, label), select);
}

/**
 * @param {string} label
 * @param {number} value
 * @param {number} min
 * @param {number} max
 * @param {(value: number) => void} changed
 */
function number(label, value, min, max, changed) {
  const input = h("input", { type: "number", id: newId("number"), "data-key": label, value, min, max });
  input.addEventListener("change", () => input.validity.valid && changed(input.valueAsNumber));
  return h("p", { class: "field" }, h("label", { for: input.id }, label), input);
}
