/** The list of games: open one, begin one, copy one, remove one and bring it back. */

import { emptyGame } from "./model/changes.js";
import { whenText } from "./model/words.js";
import { get, problemsIn, request } from "./net/api.js";
import { byId, drawing, h, say } from "./view/dom.js";
import { fillOptions } from "./view/fields.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

/** @import { GameRow, Starter, Vocabulary } from "./types.js" */
/** @import { Answer } from "./net/api.js" */

/** @param {Answer} answer */
function complain(answer) {
  byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

async function show() {
  const [kept, removed] = await Promise.all([get("/api/games"), get("/api/games?removed=true")]);
  if (!kept.ok) return complain(kept);
  /** @type {GameRow[]} */
  const games = kept.body.games;
  byId("list").replaceChildren(...games.map(row));
  byId("none").hidden = games.length > 0;
  showRemoved(removed.ok ? removed.body.games : []);
}

/** @param {GameRow} game */
function row(game) {
  const picture = h("div", { class: "thumb", "aria-hidden": "true" });
  draw(picture, game.id);
  const copy = h(
    "button",
    { type: "button", "aria-label": `Copy ${game.name}`, onclick: () => begin({ copy_of: game.id }) },
    "Copy",
  );
  const remove = h(
    "button",
    { type: "button", "aria-label": `Remove ${game.name}`, onclick: () => takeOff(game) },
    "Remove",
  );
  return h(
    "li",
    {},
    picture,
    h(
      "div",
      { class: "about" },
      h("h2", {}, h("a", { href: `/games/${game.id}` }, game.name)),
      h("p", { class: "sides" }, `${game.sides} · changed ${whenText(game.changed_at, new Date())}`),
      h("p", { class: "purpose" }, game.purpose),
    ),
    h("div", { class: "buttons" }, copy, remove),
  );
}

/**
 * @param {HTMLElement} holder
 * @param {string} id
 */
async function draw(holder, id) {
  const answer = await get(`/games/${id}.svg`);
  const picture = answer.ok ? drawing(answer.body) : null;
  if (!picture) return;
  picture.removeAttribute("role");
  picture.removeAttribute("aria-labelledby");
  holder.replaceChildren(picture);
}

/** @param {GameRow} game */
async function takeOff(game) {
  const answer = await request("DELETE", `/api/games/${game.id}`);
  if (!answer.ok) return complain(answer);
  say(`${game.name} removed`);
  await show();
  byId("removed").querySelector("button")?.focus();
}

/** @param {GameRow[]} games */
function showRemoved(games) {
  const latest = [...games].sort((one, other) => other.changed_at.localeCompare(one.changed_at));
  const line = (/** @type {GameRow} */ game) =>
    h(
      "li",
      {},
      `${game.name} `,
      h(
        "button",
        { type: "button", onclick: () => bringBack(game) },
        `Bring back`,
        h("span", { class: "unseen" }, ` ${game.name}`),
      ),
    );
  byId("removed").hidden = games.length === 0;
  byId("removed")
    .querySelector("ul")
    ?.replaceChildren(...latest.map(line));
}

/** @param {GameRow} game */
async function bringBack(game) {
  const answer = await request("POST", `/api/games/${game.id}/restore`);
  if (!answer.ok) return complain(answer);
  say(`${game.name} is back`);
  return show();
}

/** @param {Record<string, unknown>} what */
async function begin(what) {
  const answer = await request("POST", "/api/games", { json: what });
  if (answer.ok) location.assign(`/games/${answer.body.id}`);
  else complain(answer);
}

/** @param {Vocabulary} vocabulary */
function offer(vocabulary) {
  const [rules, court] = Object.entries(vocabulary.courts)[0];
  const empty = h(
    "button",
    { type: "button", class: "add", onclick: () => begin({ document: emptyGame(court, rules) }) },
    "+ An empty game, 3 on 3",
  );
  const starters = vocabulary.starters ?? [];
  const sides = (/** @type {Starter} */ one) => `${one.offence} on ${one.defence}`;
  const bySides = h("select", { "aria-label": "Sides of the games to begin with" });
  fillOptions(bySides, [["", "all sides"], ...[...new Set(starters.map(sides))].sort().map((text) => /** @type {const} */ ([text, text]))]);
  const simulated = h("input", { type: "checkbox", id: "simulated" });
  const lines = starters.map((starter) => /** @type {const} */ ([starter, offered(starter)]));
  const narrow = () => {
    for (const [one, line] of lines)
      line.hidden = (bySides.value !== "" && sides(one) !== bySides.value) || (simulated.checked && !one.simulated);
  };
  bySides.addEventListener("change", narrow);
  simulated.addEventListener("change", narrow);
  const filters = h("li", { class: "choices" }, bySides, h("label", { for: "simulated" }, simulated, " with a trial only"));
  byId("begin").replaceChildren(h("li", {}, empty), filters, ...lines.map(([, line]) => line));
}

/** @param {Starter} starter */
function offered(starter) {
  const drawn = starter.simulated ? "" : " Drawn, not simulated.";
  return h(
    "li",
    {},
    h("button", { type: "button", class: "add", onclick: () => begin({ starter: starter.key }) }, `+ ${starter.name}`),
    h("p", { class: "hint" }, `${starter.offence} on ${starter.defence}. ${firstSentence(starter.purpose)}${drawn}`),
  );
}

/** @param {string} text */
function firstSentence(text) {
  return text.split(/(?<=[.!?])\s/)[0];
}

async function start() {
  startPrefs();
  const words = await get("/api/vocabulary");
  if (words.ok) offer(words.body);
  await show();
}

start();
