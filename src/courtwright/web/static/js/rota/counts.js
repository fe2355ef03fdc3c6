/** What each player gets: turns by role and figure, the longest sit, and who meets whom how often. */

import { h } from "../view/dom.js";

/** @import { RotaAnswer } from "../types.js" */

const SHADES = 5;

/** @param {RotaAnswer} answer */
export function countsOf(answer) {
  return [players(answer), h("div", { class: "matrices" }, ...company(answer))];
}

/** @param {RotaAnswer} answer */
function players({ rota, expected }) {
  const neutral = rota.players.some((player) => player.neutral_turns);
  const figures = Object.keys(rota.players[0]?.turns_by_figure ?? {});
  const heads = ["turns", "attack", "defend", ...(neutral ? ["neutral"] : []), "off", "longest sit", ...figures];
  const rows = rota.players.map((player) => {
    const { total_turns, offence_turns, defence_turns, neutral_turns, off_turns, longest_sit_turns } = player;
    const roles = [total_turns, offence_turns, defence_turns, ...(neutral ? [neutral_turns] : []), off_turns];
    const cells = [...roles, longest_sit_turns, ...figures.map((figure) => player.turns_by_figure[figure] ?? 0)];
    const usual = expected && h("td", {}, `${expected.turns[player.name]} (${expected.low[player.name]}–${expected.high[player.name]})`);
    return h("tr", {}, h("th", { scope: "row" }, player.name), ...cells.map((cell) => h("td", {}, cell)), usual);
  });
  const more = expected && h("th", { scope: "col" }, "to be expected");
  return table("Turns of each player", h("tr", {}, h("th", { scope: "col" }, "player"), ...heads.map(head), more), rows);
}

/** @param {string} text */
function head(text) {
  return h("th", { scope: "col", class: /^[XN]?\d$/.test(text) ? "figure" : null }, text);
}

/** @param {RotaAnswer} answer */
function company({ rota }) {
  return [
    matrix("On one side with", rota.names, rota.team_mate_turns),
    matrix("Across from", rota.names, rota.opponent_turns),
  ];
}

/**
 * @param {string} title
 * @param {string[]} names
 * @param {number[][]} turns
 */
function matrix(title, names, turns) {
  const others = turns.flatMap((row, one) => row.filter((_, other) => other !== one));
  const [least, most] = [Math.min(...others), Math.max(...others)];
  const shade = (/** @type {number} */ value) => (most === least ? 2 : Math.round(((value - least) / (most - least)) * (SHADES - 1)));
  const heads = names.map((name) => h("th", { scope: "col" }, h("span", {}, name)));
  const rows = names.map((name, one) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, name),
      ...names.map((_, other) =>
        one === other ? h("td", { class: "self" }, "·") : h("td", { class: `shade-${shade(turns[one]?.[other] ?? 0)}` }, turns[one]?.[other] ?? 0),
      ),
    ),
  );
  const said = most === least ? `Every two players ${most} times.` : `Between ${least} and ${most} times.`;
  const shown = table(title, h("tr", {}, h("td", {}), ...heads), rows);
  shown.classList.add("matrix");
  shown.append(h("p", { class: "hint" }, said));
  return shown;
}

/**
 * @param {string} title
 * @param {HTMLElement} heads
 * @param {HTMLElement[]} rows
 */
function table(title, heads, rows) {
  return h(
    "section",
    {},
    h("h2", {}, title),
    h("div", { class: "wide", tabindex: 0, role: "group", "aria-label": title }, h("table", {}, h("thead", {}, heads), h("tbody", {}, ...rows))),
  );
}
