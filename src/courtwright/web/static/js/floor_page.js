/** Begin a run in a few taps, or go back to one. */

import { whenText } from "./model/words.js";
import { get, problemsIn, request } from "./net/api.js";
import { byId, h } from "./view/dom.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

/** @import { Answer } from "./net/api.js" */

const BEGINNERS = ["coach", "assistant"];
let callers = true; // whether this device may call what happens
const BASKETS = ["main basket", "far basket", "left side basket", "right side basket"];

/** @param {Answer} answer */
function complain(answer) {
  byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

/**
 * @param {string} name
 * @param {string} value
 * @param {string} text
 * @param {boolean} checked
 * @param {string} [kind]
 */
function choice(name, value, text, checked, kind = "radio") {
  return h("label", { class: "choice" }, h("input", { type: kind, name, value, checked }), h("span", {}, text));
}

/**
 * @param {{ id: string, name: string, sides: string }[]} games
 * @param {{ name: string, here: boolean }[]} squad
 */
function begin(games, squad) {
  const form = byId("begin");
  const more = h("input", { type: "text", name: "more", maxlength: 400, placeholder: "names with commas between them" });
  const watch = h("input", { type: "text", name: "watch", maxlength: 200, placeholder: "talked early, boxed out" });
  const go = h("button", { type: "submit", class: "add" }, "Play");
  form.replaceChildren(
    h("fieldset", {}, h("legend", {}, "which game"), ...games.map((game, index) => choice("game", game.id, `${game.name} · ${game.sides}`, index === 0))),
    h("fieldset", {}, h("legend", {}, "who is here"), ...squad.map((player) => choice("player", player.name, player.name, player.here, "checkbox"))),
    h("label", { class: "text" }, h("span", {}, squad.length ? "and others" : "who is here"), more),
    h("fieldset", {}, h("legend", {}, "where"), ...BASKETS.map((name, index) => choice("basket", name, name, index === 0))),
    h("label", { class: "text" }, h("span", {}, "what you may watch for"), watch),
    h("p", { class: "buttons" }, go),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void open(new FormData(/** @type {HTMLFormElement} */ (form)), go);
  });
}

/** @param {FormDataEntryValue | null} text */
function listed(text) {
  return String(text ?? "")
    .split(",")
    .map((name) => name.trim())
    .filter(Boolean);
}

/**
 * @param {FormData} data
 * @param {HTMLButtonElement} go
 */
async function open(data, go) {
  go.disabled = true;
  const named = [...data.getAll("player").map(String), ...listed(data.get("more"))];
  const players = named.length ? named : null; // the server then takes those who are here
  const tags = listed(data.get("watch")).map((tag) => ({ tag }));
  const answer = await request("POST", "/api/runs", {
    json: { game_id: data.get("game"), basket: data.get("basket"), players, tags, seed: Date.now() % 100_000 },
  });
  go.disabled = false;
  if (answer.ok) location.assign(`/floor/${answer.body.opening.run}`);
  else complain(answer);
}

/** @param {any} run */
function row(run) {
  const facts = run.facts === 1 ? "1 fact" : `${run.facts} facts`;
  return h(
    "li",
    {},
    callers ? h("a", { href: `/floor/${run.run}` }, run.name) : h("strong", {}, run.name),
    h("span", {}, `${run.basket} · ${whenText(run.made_at, new Date())} · ${facts}`),
    h("a", { class: "screen", href: `/floor/${run.run}/players`, "aria-label": `players' screen of ${run.name}` }, "players' screen"),
  );
}

/** @param {string} role what the squad holds is the coach's; others name the players, or take those who are here */
async function offer(role) {
  const [games, squad] = await Promise.all([get("/api/games"), role === "coach" ? get("/api/squad") : null]);
  if (games.ok) begin(games.body.games, squad?.ok ? (squad.body.squad?.players ?? []) : []);
  else complain(games);
}

async function start() {
  startPrefs();
  const [me, runs] = await Promise.all([get("/api/me"), get("/api/runs")]);
  if (!me.ok || !runs.ok) return complain(me.ok ? runs : me);
  const { role } = me.body;
  byId("begin-title").parentElement?.toggleAttribute("hidden", !BEGINNERS.includes(role));
  if (BEGINNERS.includes(role)) await offer(role);
  callers = role !== "screen";
  if (runs.ok) byId("runs").replaceChildren(...(runs.body.runs.length ? runs.body.runs.map(row) : [h("li", {}, "No run yet.")]));
}

start();
