/** What happened on the floor, in a coach's words. */

/** @import { Constraint, Opening, PointRule, PossessionTold, RunState } from "../../types.js" */

import { constraintText, signed } from "../../model/words.js";

/** @param {string} figure @param {Record<string, string>} figures */
export function named(figure, figures) {
  return figures[figure] || figure;
}

/**
 * @param {{ kind: string, detail: Record<string, any> }} call
 * @param {Record<string, string>} figures who stands at them
 */
export function callText({ kind, detail }, figures) {
  const who = detail.who ? `${named(detail.who, figures)}: ` : "";
  if (kind === "make") return `${who}score, ${detail.zone}${detail.kick_out ? ", off a kick-out" : ""}`;
  if (kind === "miss") {
    const got = { offence: ", attack has it", defence: ", defence has it" }[/** @type {string} */ (detail.rebound)];
    return `${who}miss${detail.zone ? `, ${detail.zone}` : ""}${got ?? ""}`;
  }
  if (kind === "violation") return `${who}violation, ${detail.rule}`;
  if (kind === "free throw") return `${who}free throw ${detail.made ? "made" : "missed"}`;
  if (kind === "tag") return `${who}${detail.tag}, ${detail.did ? "yes" : "not this time"}`;
  if (kind === "clock") return `clock, ${detail.do}`;
  if (kind === "freeze") return detail.cue ? `freeze: ${detail.cue}` : "freeze";
  if (kind === "constraint switched") return `${switchedText(detail)} ${detail.on ? "on" : "off"}`;
  if (kind === "game changed") return detail.say ? `now: ${detail.say}` : "another form of the game";
  if (kind === "substitution") return `${detail.player} at ${detail.figure}`;
  if (kind === "attendance") return `${detail.player}: ${detail.state}`;
  if (kind === "claim") return `players call ${detail.score.join(" : ")}`;
  if (kind === "watching") return `${detail.on ? "watching" : "no longer watching"} ${detail.tag}`;
  if (kind === "possession") return "possession skipped";
  return `${who}${kind}`;
}

/** @param {Record<string, any>} detail */
function switchedText({ constraint, points, placement }) {
  if (constraint) return constraint.rule;
  if (points) return `points for ${points.rule}`;
  return `${placement.figure} moved`;
}

/** @param {Constraint} item @param {Opening} opening */
export function limitText(item, { register }) {
  const kind = register.constraints[item.rule];
  const unit = kind?.text.includes("dribble") ? { unit: "dribbles" } : null;
  return constraintText(kind ? /** @type {any} */ ({ text: kind.text, limit: unit }) : undefined, item);
}

/** @param {PointRule} item @param {Opening} opening */
export function paidText(item, { register }) {
  return `${register.points[item.rule]?.text ?? item.rule} ${signed(item.points)}`;
}

/** @param {PossessionTold} one */
export function scored(one) {
  return one.points[0] > 0;
}

/**
 * Points of a possession, as the coach says it.
 * @param {PossessionTold} one
 */
export function pointsText({ points: [won, lost] }) {
  const parts = [won ? `${signed(won)} attack` : "", lost ? `${signed(lost)} defence` : ""].filter(Boolean);
  return parts.join(", ") || "no points";
}

/** @param {Opening} opening @param {RunState} state @returns {[string, number][]} whose score, and how much */
export function scores(opening, state) {
  if (!opening.teams.length) return [["attack", state.score[0] ?? 0], ["defence", state.score[1] ?? 0]];
  return state.score.map((points, index) => [`team ${index + 1}`, points]);
}

/** @param {number} ms */
export function clockText(ms) {
  const whole = Math.max(0, Math.round(ms / 1000));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
