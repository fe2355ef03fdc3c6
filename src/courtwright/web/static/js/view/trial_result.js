/** What a trial found, panel by panel; each ends in one plain sentence. */

import { counted, sentenceCase } from "../model/words.js";
import { h } from "./dom.js";
import { measureTable, scorePlot, scoreScale, turnsTable } from "./plots.js";

/** @import { TrialResult } from "../types.js" */

/**
 * @param {TrialResult} result
 * @returns {HTMLElement[]}
 */
export function trialResult(result) {
  const scale = result.scores.length ? scoreScale(result.scores) : null;
  const scores = scale ? result.scores.map((score, index) => scorePlot(score, scale, index % 2 ? "defence" : "offence")) : [];
  return [
    panel("Score of one run", [h("div", { class: "scores" }, ...scores)], sentenceFor(result, "score")),
    panel("What happened", [measureTable(result.measures)], measureSentence(result)),
    panel("Turns a run", [turnsTable(result.turns)], sentenceFor(result, "turn")),
    howWorkedOut(result),
  ];
}

/**
 * @param {string} name
 * @param {HTMLElement[]} body
 * @param {string} sentence
 */
function panel(name, body, sentence) {
  return h("section", { class: "panel" }, h("h3", {}, name), ...body, sentence && h("p", { class: "sentence" }, sentence));
}

/**
 * @param {TrialResult} result
 * @param {string} word
 */
function sentenceFor(result, word) {
  return result.sentences.find((sentence) => sentence.toLowerCase().includes(word)) ?? "";
}

/** @param {TrialResult} result */
function measureSentence(result) {
  return result.measures.find((measure) => measure.sentence)?.sentence ?? "";
}

/** @param {TrialResult} result */
function howWorkedOut(result) {
  const { model } = result;
  const parts = [
    `${counted(result.runs, "run")} of ${result.minutes} minutes with ${result.squad}, seed ${result.seed}.`,
    `Bars are ranges: ${result.range}.`,
    `Model ${model.version}, ${model.calibrated ? "calibrated" : "not calibrated yet"}. ${model.note}`,
  ];
  const list = (/** @type {string} */ name, /** @type {string[]} */ items) => items.length > 0 && h("p", {}, h("strong", {}, `${name}: `), items.join("; "), ".");
  return h(
    "details",
    { class: "how" },
    h("summary", {}, "How this is worked out"),
    ...parts.map((text) => h("p", {}, sentenceCase(text))),
    list("Played", result.played),
    list("Left to your eye", result.left_to_the_eye),
  );
}
