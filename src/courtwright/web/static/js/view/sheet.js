/** The rest of the document, part by part: each closed line says what stands inside, each opens to be changed. */

import { withCourt, withEntry, withSides } from "../model/changes.js";
import { attackersOf } from "../model/game.js";
import {
  counted,
  endingText,
  entryText,
  finishText,
  helpText,
  linesText,
  sentenceCase,
  subtitle,
} from "../model/words.js";
import { choiceField, numberField, textField, tickField } from "./fields.js";
import { formsList, lineList, stepList } from "./lists.js";
import { looseEnds } from "./loose.js";
import { placesSection } from "./places.js";
import { group, section, when } from "./sections.js";
import { startsSection } from "./starts.js";

/** @import { Editor } from "../editor.js" */
/** @import { Game, Vocabulary } from "../types.js" */
/** @import { Board } from "./board.js" */
/** @import { Part } from "./fields.js" */

/** @param {readonly string[]} words */
const plain = (words) => words.map((word) => /** @type {const} */ ([word, word]));

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 * @param {Board} board
 * @returns {Part[]}
 */
export function sheet(editor, vocabulary, board) {
  return [
    sidesSection(editor, vocabulary),
    placesSection(editor, board),
    startsSection(editor, board),
    entrySection(editor, vocabulary),
    helpSection(editor, vocabulary),
    endingSection(editor, vocabulary),
    finishSection(editor, vocabulary),
    teachingSection(editor),
    section("Easier, harder", stepsText, [
      looseEnds(editor, ["easier", "harder"]),
      stepList(editor, "easier"),
      stepList(editor, "harder"),
    ]),
    section("With other numbers", formsText, [looseEnds(editor, ["form "]), formsList(editor)], "forms"),
    section("Cautions", (game) => linesText(game.cautions), [lineList(editor, "cautions", "caution", 6)], "cautions"),
  ];
}

/** @param {Game} game */
function stepsText({ easier, harder }) {
  if (!easier.length && !harder.length) return "none yet";
  return linesText([...easier, ...harder].map((step) => step.say));
}

/** @param {Game} game */
function formsText({ forms }) {
  if (!forms.length) return "none yet";
  return `forms for ${forms.map((form) => form.players).join(", ")} players`;
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
function sidesSection(editor, vocabulary) {
  const courtOf = (/** @type {Game} */ game) => vocabulary.courts[game.court] ?? Object.values(vocabulary.courts)[0];
  const count = (
    /** @type {"offence" | "defence" | "neutral"} */ side,
    /** @type {string} */ label,
    /** @type {number[]} */ counts,
  ) =>
    choiceField(editor, {
      label,
      path: ["sides", side],
      options: () => counts.map((number) => [String(number), String(number)]),
      get: (game) => String(game.sides[side]),
      set: (game, value) => withSides(game, courtOf(game), { [side]: Number(value) }),
    });
  const courts = Object.entries(vocabulary.courts).map(([rules, court]) => /** @type {const} */ ([rules, court.name]));
  return section("Court and sides", (game) => subtitle(game, vocabulary), [
    group("court and sides", [
      choiceField(editor, {
        label: "court",
        path: ["court"],
        options: () => courts,
        set: (game, rules) => withCourt(game, rules, vocabulary.courts[rules]),
      }),
      count("offence", "attackers", [1, 2, 3, 4, 5]),
      count("defence", "defenders", [1, 2, 3, 4, 5]),
      count("neutral", "neutrals", [0, 1, 2]),
      tickField(editor, {
        label: "a coach on the floor",
        path: ["sides", "coach"],
        set: (game, on) => withSides(game, courtOf(game), { coach: on }),
      }),
    ]),
  ]);
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
function entrySection(editor, vocabulary) {
  const holders = (/** @type {Game} */ game) => plain([...attackersOf(game.sides), ...(game.sides.coach ? ["C"] : [])]);
  return section("Entry and live", entryText, [
    group("entry", [
      choiceField(editor, { label: "the ball starts with", path: ["start", "ball"], options: holders }),
      choiceField(editor, {
        label: "first comes",
        path: ["entry", "kind"],
        options: () => plain(vocabulary.entry),
        set: withEntry,
      }),
      when(
        (game) => game.entry.kind === "passes",
        numberField(editor, { label: "passes", path: ["entry", "passes"], width: 2 }),
      ),
      when(
        (game) => ["passes", "coach feeds"].includes(game.entry.kind),
        choiceField(editor, {
          label: "which ends with",
          path: ["entry", "to"],
          options: (game) => [[null, "anyone"], ...plain(attackersOf(game.sides))],
        }),
      ),
      choiceField(editor, {
        label: "live at",
        path: ["live"],
        options: () =>
          vocabulary.live.map((word) => [
            word,
            { start: "once", "entry done": "the end of the entry" }[word] ?? `the ${word}`,
          ]),
      }),
    ]),
    textField(editor, { label: "what to say", path: ["entry", "say"], max: 200, long: true }),
  ]);
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
function helpSection(editor, vocabulary) {
  const options = () =>
    vocabulary.help.map((word) => /** @type {const} */ ([word, sentenceCase(word.replace("dribble", "on dribble"))]));
  return section("Help", (game) => helpText(game.help, game.rotation), [
    choiceField(editor, { label: "helpers leave their own", path: ["help"], options }),
    tickField(editor, { label: "the others rotate to whoever is left open", path: ["rotation"] }),
  ]);
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
function endingSection(editor, vocabulary) {
  /** @type {[string, string][]} */
  const events = [
    ["make", "after a score"],
    ["offensive_rebound", "after an offensive rebound"],
    ["defensive_rebound", "after a defensive rebound"],
    ["foul", "after a foul"],
    ["defence_must", "before a stop counts, the defence must"],
  ];
  const choices = events
    .filter(([event]) => (vocabulary.ending[event] ?? []).length > 1)
    .map(([event, label]) =>
      choiceField(editor, { label, path: ["ending", event], options: () => plain(vocabulary.ending[event]) }),
    );
  const reset = numberField(editor, { label: "until the next start", path: ["ending", "reset_s"], unit: "s" });
  return section("Ending and reset", endingText, [group("ending", [...choices, reset])]);
}

/**
 * @param {Editor<Game>} editor
 * @param {Vocabulary} vocabulary
 */
function finishSection(editor, vocabulary) {
  return section(
    "Turns and finish",
    finishText,
    [
      group("turns and finish", [
        choiceField(editor, { label: "teams", path: ["rota", "teams"], options: () => plain(vocabulary.teams) }),
        choiceField(editor, { label: "groups go", path: ["rota", "rule"], options: () => plain(vocabulary.rota) }),
        numberField(editor, { label: "over after", path: ["finish", "minutes"], unit: "min", optional: true }),
        numberField(editor, { label: "or at a score of", path: ["finish", "points"], optional: true }),
      ]),
    ],
    "finish",
  );
}

/** @param {Editor<Game>} editor */
function teachingSection(editor) {
  const said = (/** @type {Game} */ game) =>
    [counted(game.cues.length, "cue"), game.question].filter(Boolean).join(" · ");
  return section("Cues and question", said, [
    lineList(editor, "cues", "cue", 4),
    textField(editor, { label: "one question to ask", path: ["question"], max: 200, long: true }),
  ]);
}
