/** What a trial found, panel by panel; each ends in plain sentences. */

import { byMeasure } from "../model/change.js";
import { counted, sentenceCase } from "../model/words.js";
import { h } from "./dom.js";
import { measureTable, rangesTable } from "./measures.js";
import { lengthPlot, scorePlot, scoreScale, turnsTable } from "./plots.js";

/** @import { Comparison, Measure, TrialResult } from "../types.js" */

/** What a coach asks first; everything else the trial counts stands one click away. */
const FIRST = new Set([
  "points",
  "points_against",
  "scored",
  "help_drawn",
  "kick_outs",
  "gap_kick_out",
  "open_shots",
  "open_turned_down",
  "turnovers",
  "length",
]);

const SIGNS = "▲ more · ▼ less · = no difference · ? the trial cannot tell";

/**
 * @param {TrialResult} result
 * @returns {HTMLElement[]}
 */
export function trialResult(result) {
  const first = result.measures.filter((measure) => FIRST.has(measure.key));
  const rest = result.measures.filter((measure) => !FIRST.has(measure.key));
  const { comparison, ranges = {} } = result;
  const { score, turns, time, play } = sorted(result.sentences);
  const table = (/** @type {Measure[]} */ measures) =>
    measureTable(measures, { ranges, changes: comparison ? byMeasure(comparison.differences) : null });
  const signs = comparison ? h("p", { class: "hint" }, SIGNS) : null;
  const happened = [table(first), signs, more(rest.length, table(rest)), rangesTable(first, ranges)];
  return [
    ...(comparison ? [changed(comparison)] : []),
    panel("Score of one run", scores(result), score),
    panel("What happened", happened, play),
    panel("Length of a possession", [lengthPlot(result.possession_lengths)], time),
    panel("Turns in one run", [turnsTable(result.turns)], turns),
    howWorkedOut(result),
  ];
}

/** @param {Comparison} comparison */
function changed({ sentences, how, left_out, runs }) {
  return h(
    "section",
    { class: "panel changed", "aria-label": "What changed" },
    h("h3", {}, "What changed"),
    h("ul", { class: "sentences" }, ...sentences.map((sentence) => h("li", {}, sentence))),
    h(
      "details",
      { class: "how", "data-key": "told" },
      h("summary", {}, "How this is told"),
      h("p", {}, `${how} ${counted(runs, "run")} of each.`),
      left_out.length > 0 && h("p", {}, h("strong", {}, "Too few to compare: "), left_out.join("; "), "."),
    ),
  );
}

/**
 * Which panel a sentence belongs under.
 * @param {string[]} sentences
 */
function sorted(sentences) {
  const score = sentences.filter((sentence) => /\bpoints\b/.test(sentence));
  const turns = sentences.filter((sentence) => /\bturns\b/.test(sentence));
  const time = sentences.filter((sentence) => /\bpossessions last\b/.test(sentence));
  const elsewhere = new Set([...score, ...turns, ...time]);
  return { score, turns, time, play: sentences.filter((sentence) => !elsewhere.has(sentence)) };
}

/** @param {TrialResult} result */
function scores(result) {
  if (!result.scores.some((score) => score.bins.length)) return [];
  const scale = scoreScale(result.scores);
  return [h("div", { class: "scores" }, ...result.scores.map((score) => scorePlot(score, scale)))];
}

/**
 * @param {number} count
 * @param {HTMLElement} table
 */
function more(count, table) {
  return h("details", { class: "how", "data-key": "more" }, h("summary", {}, `${count} more measures`), table);
}

/**
 * @param {string} name
 * @param {(HTMLElement | null)[]} body
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
    { class: "how", "data-key": "how" },
    h("summary", {}, "How this is worked out"),
    ...parts.map((text) => h("p", {}, sentenceCase(text))),
    list("Played", played),
    list("Left to your eye", left_to_the_eye),
  );
}
