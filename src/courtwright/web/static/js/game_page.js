/** The game page: board, rules and sheet on one side, trial and turns on the other. */

import { Editor } from "./editor.js";
import { countedPlace } from "./model/problem_places.js";
import { subtitle } from "./model/words.js";
import { get, problemsIn, request } from "./net/api.js";
import { openGame } from "./net/open.js";
import { Board } from "./view/board.js";
import { BoardBar } from "./view/board_bar.js";
import { byId, h, setText } from "./view/dom.js";
import { textField } from "./view/fields.js";
import { growing } from "./view/grow.js";
import { startPrefs, prefs } from "./view/prefs.js";
import { problemList, showProblems } from "./view/problems.js";
import { constraintChips, pointChips } from "./view/rules.js";
import { MomentMode } from "./view/moment_mode.js";
import { Moments } from "./view/moments.js";
import { ReadingPanel } from "./view/reading.js";
import { ReplayPanel } from "./view/replay.js";
import { sheet } from "./view/sheet.js";
import { startSwitch } from "./view/starts.js";
import { Status } from "./view/status.js";
import { GameOnBoard } from "./view/subject.js";
import { SweepPanel } from "./view/sweep.js";
import { TrialPanel } from "./view/trial.js";
import { TurnsPanel } from "./view/turns.js";
import { versions } from "./view/versions.js";

/** @import { Game, Vocabulary } from "./types.js" */

const control = new AbortController();

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 * @param {string} id
 */
function build(editor, vocabulary, id) {
  const { signal } = control;
  const page = byId("game");
  const board = new Board(new GameOnBoard(editor, vocabulary, `/games/${id}.svg`), signal);
  const trial = new TrialPanel(editor, id, signal);
  const turns = new TurnsPanel(editor, id, trial);
  const sweep = new SweepPanel(editor, id, trial, signal);
  const replay = new ReplayPanel(board, trial, id);
  const moments = new Moments(editor, id, board);
  const reading = new ReadingPanel(editor, board, vocabulary, signal);
  const bar = new BoardBar(board, reading);
  board.givenUp = () => reading.update();
  board.moving = (places) => reading.follow(places);
  const rest = board.touched;
  board.touched = () => (rest(), replay.close());
  replay.addEventListener("open", () => reading.chosen && reading.choose(null));
  reading.addEventListener("choice", () => reading.chosen && replay.close());
  addEventListener("hashchange", () => replay.close(), { signal });
  const name = textField(editor, { label: "name of the game", path: ["name"], quiet: true, max: 80 });
  const purpose = textField(editor, {
    label: "purpose",
    path: ["purpose"],
    quiet: true,
    long: true,
    max: 400,
    placeholder: "What should they learn? What decision does it train?",
  });
  const sides = h("p", { class: "sides" });
  const starts = startSwitch(editor, board, () => (reading.update(), update()));
  const chips = [constraintChips(editor, vocabulary), pointChips(editor, vocabulary)];
  const sections = sheet(editor, vocabulary, board);
  const bigger = growing(editor, id);
  const parts = [name, purpose, starts, ...chips, ...sections, bigger];
  const restore = async () => void (await request("POST", `/api/games/${id}/restore`));
  const locate = (/** @type {string} */ place) => countedPlace(editor.doc, place);
  const status = new Status(editor, { page, what: "this game", signal, locate, restore });

  byId("title").replaceChildren(name.element, sides, purpose.element);
  byId("drawing").replaceChildren(starts.element, board.element, bar.element, replay.element, help(moments.freeze));
  byId("moments").replaceChildren(moments.element);
  byId("rules").replaceChildren(...chips.map((part) => part.element), bigger.element);
  byId("sheet").replaceChildren(...sections.map((part) => part.element));
  byId("versions").replaceChildren(versions(editor, id));
  byId("run").replaceChildren(reading.element, trial.element, replay.chooser, sweep.element, turns.element);

  const update = () => {
    const game = editor.doc;
    setText(sides, subtitle(game, vocabulary));
    setText(byId("name"), game.name);
    document.title = `${game.name || "Game"} · Courtwright`;
    for (const part of parts) part.update(game);
    showProblems(page, editor.saver.problems, locate);
  };
  editor.addEventListener("change", () => (replay.changed(editor.doc), board.update(), reading.update(), update()));
  prefs.addEventListener("change", update, { signal });
  board.update();
  update();
  trial.restore();
  new MomentMode({ editor, id, vocabulary, board, moments, reading, status: status.element, signal }).follow(false);
}

/** @param {HTMLElement} freeze */
function help(freeze) {
  const keys = (/** @type {string} */ words) => h("span", { class: "by-keys" }, words);
  const runs = h("span", { class: "of-moment" }, " Pull the small ring ahead of a figure to make it run", keys(", or press + and −"), ".");
  const words = [
    "Drag a figure",
    keys(", or Tab to it and press the arrow keys (10 cm; 50 cm with Shift)"),
    ". Near a spot it takes the spot",
    keys("; hold Alt and it does not"),
    ".",
  ];
  return h("div", { class: "board-foot" }, h("p", { id: "board-help", class: "hint board-help" }, ...words, runs), freeze);
}

async function start() {
  startPrefs();
  const id = byId("game").dataset.id ?? "";
  const [words, editor] = await Promise.all([get("/api/vocabulary"), openGame(id, control.signal)]);
  if (words.ok && editor instanceof Editor) build(editor, words.body, id);
  else
    byId("status").replaceChildren(
      problemList(document, editor instanceof Editor ? problemsIn(words) : problemsIn(editor)),
    );
}

start();
