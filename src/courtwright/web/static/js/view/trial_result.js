/** What a trial found, panel by panel; each ends in plain sentences. */

import { counted, sentenceCase } from "../model/words.js";
import { h } from "./dom.js";
import { measureTable, scorePlot, scoreScale, turnsTable } from "./plots.js";

/** @import { TrialResult } from "../types.js" */

/** What a coach asks first; everything else the trial counts stands one click away. */
const FIRST = new Set([
  "scored",
  "help_drawn",
  "kick_outs",
  "gap_kick_out",
  "open_shots",
  "open_turned_down",
  "turnovers",
  "length",
]);

/**
 * @param {TrialResult} result
 * @returns {HTMLElement[]}
 */
export function trialResult(result) {
  const first = result.measures.filter((measure) => FIRST.has(measure.key));
  const rest = result.measures.filter((measure) => !FIRST.has(measure.key));
  const { score, turns, play } = sorted(result.sentences);
  return [
    panel("Score of one run", scores(result), score),
    panel("What happened", [measureTable(first), more(rest)], play),
    panel("Turns in one run", [turnsTable(result.turns)], turns),
    howWorkedOut(result),
  ];
}

/**
 * Which panel a sentence belongs under.
 * @param {string[]} sentences
 */
function sorted(sentences) {
  const score = sentences.filter((sentence) => /\bpoints\b/.test(sentence));
  const turns = sentences.filter((sentence) => /\bturns\b/.test(sentence));
  return { score, turns, play: sentences.filter((sentence) => !score.includes(sentence) && !turns.includes(sentence)) };
}

/** @param {TrialResult} result */
function scores(result) {
  if (!result.scores.some((score) => score.bins.length)) return [];
  const scale = scoreScale(result.scores);
  return [h("div", { class: "scores" }, ...result.scores.map((score) => scorePlot(score, scale)))];
}

/** @param {TrialResult["measures"]} measures */
function more(measures) {
  return h("details", { class: "how" }, h("summary", {}, `${measures.length} more measures`), measureTable(measures));
}

/**
 * @param {string} name
 * @param {HTMLElement[]} body
 * @param {string[]} sentences
 */
function panel(name, body, sentences) {
  return h(
    "section",
    { class: "panel" },
    h("h3", {}, name),
    ...body,
    h("p", { class: "sentence" }, sentences.join(" ")),
  );
}

/** @param {TrialResult} result */
function howWorkedOut({ model, runs, minutes, squad, seed, range, played, left_to_the_eye }) {
  const parts = [
    `${counted(runs, "run")} of ${minutes} minutes with ${squad}, seed ${seed}. The same seed gives the same trial again.`,
    `Bars are ranges: ${range}. Circles attack, crosses defend; they stand at the mean.`,
    `Model ${model.version}. ${model.note}`,
  ];
  const list = (/** @type {string} */ name, /** @type {string[]} */ items) =>
    items.length > 0 && h("p", {}, h("strong", {}, `${name}: `), items.join("; "), ".");
  return h(
    "details",
    { class: "how" },
    h("summary", {}, "How this is worked out"),
    ...parts.map((text) => h("p", {}, sentenceCase(text))),
    list("Played", played),
    list("Left to your eye", left_to_the_eye),
  );
}
