/** The turns, and two players who change places: by a drag, by two taps, by the keyboard. */

import { h, say } from "../view/dom.js";

/** @import { RotaState } from "./state.js" */
/** @import { Turn } from "../types.js" */

/** @param {RotaState} state */
export function turnsTable(state) {
  /** @type {{ turn: number, name: string } | null} */
  let picked = null;
  const hint = h("p", { class: "hint" });
  const table = h("div", { class: "turn-table" });
  const element = h("div", {}, hint, table);

  /** @param {number} turn @param {string} name */
  const tap = (turn, name) => {
    const before = picked;
    if (before && before.turn === turn && before.name !== name) return swap(turn, before.name, name);
    picked = before && before.turn === turn ? null : { turn, name };
    say(picked ? `${name} in turn ${turn}: choose who changes places with them` : "");
    mark();
  };

  /** @param {number} turn @param {string} one @param {string} other */
  const swap = (turn, one, other) => {
    picked = null;
    void state.exchange(turn, one, other);
  };

  const mark = () => {
    for (const button of /** @type {NodeListOf<HTMLElement>} */ (table.querySelectorAll("button.who"))) {
      const here = picked && Number(button.dataset.turn) === picked.turn;
      button.setAttribute("aria-pressed", String(Boolean(here && button.dataset.name === picked?.name)));
      button.classList.toggle("open", Boolean(here && button.dataset.name !== picked?.name));
    }
  };

  /** @param {number} turn @param {string} name @param {string} [figure] */
  const who = (turn, name, figure = "") => {
    const button = h(
      "button",
      { type: "button", class: "who", "data-turn": turn, "data-name": name, draggable: "true", "aria-pressed": "false" },
      figure && h("b", {}, figure),
      h("span", {}, name),
    );
    button.addEventListener("click", () => tap(turn, name));
    button.addEventListener("dragstart", () => ((picked = { turn, name }), mark()));
    button.addEventListener("dragover", (event) => {
      if (picked?.turn === turn) event.preventDefault();
    });
    button.addEventListener("drop", (event) => {
      event.preventDefault();
      if (picked && picked.turn === turn && picked.name !== name) swap(turn, picked.name, name);
    });
    return button;
  };

  /** @param {Turn} row @param {boolean} first @param {number} baskets @param {boolean} stands */
  const rowOf = (row, first, baskets, stands) => {
    const cell = (/** @type {string} */ name, /** @type {string} */ figure) =>
      stands ? h("span", { class: "who" }, figure && h("b", {}, figure), h("span", {}, name)) : who(row.turn, name, figure);
    const side = (/** @type {string[]} */ names, /** @type {string} */ prefix) =>
      names.map((name, place) => cell(name, `${prefix}${place + 1}`));
    return h(
      "tr",
      { class: `${stands ? "stands" : ""}${first ? " first" : ""}` },
      first ? h("th", { scope: "row", rowspan: baskets }, row.turn) : null,
      baskets > 1 ? h("td", { class: "basket" }, row.basket) : null,
      h("td", { class: "offence" }, ...side(row.offence, ""), ...side(row.neutral, "N")),
      h("td", { class: "defence" }, ...side(row.defence, "X")),
      first ? h("td", { class: "off", rowspan: baskets }, ...row.off.map((name) => cell(name, ""))) : null,
    );
  };

  const update = () => {
    const rota = state.answer?.rota;
    if (!rota) return table.replaceChildren();
    picked = null;
    const heads = ["turn", ...(rota.baskets > 1 ? ["basket"] : []), "attack", "defend", "off"];
    const rows = rota.turns.map((row, at) => rowOf(row, at % rota.baskets === 0, rota.baskets, row.turn <= state.played));
    table.replaceChildren(
      h(
        "table",
        {},
        h("caption", { class: "unseen" }, "Who plays where, turn by turn"),
        h("thead", {}, h("tr", {}, ...heads.map((text) => h("th", { scope: "col" }, text)))),
        h("tbody", {}, ...rows),
      ),
    );
    hint.textContent = "Tap two players of a turn, or drag one onto the other, and they change places.";
  };
  element.addEventListener("keydown", (event) => {
    if (event.key === "Escape") ((picked = null), mark());
  });
  return { element, update };
}
