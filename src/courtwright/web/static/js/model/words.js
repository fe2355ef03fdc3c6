/** Parts of a game as short sentences, for chips and for the line that stands on a closed section. */

/** @import { Constraint, ConstraintKind, Game, PointKind, PointRule, Problem, Sides, Vocabulary } from "../types.js" */

/**
 * @param {number} count
 * @param {string} one
 * @param {string} [many]
 */
export function counted(count, one, many = `${one}s`) {
  return `${count} ${Number(count) === 1 ? one : many}`;
}

/** @param {string} text */
export function sentenceCase(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** @param {Sides} sides */
export function sidesText({ offence, defence, neutral, coach }) {
  const extras = [neutral ? counted(neutral, "neutral") : "", coach ? "a coach" : ""].filter(Boolean);
  return `${offence} on ${defence}${extras.length ? ` with ${extras.join(" and ")}` : ""}`;
}

/**
 * The constraint in words, its limit filled in.
 * @param {ConstraintKind | undefined} kind
 * @param {Constraint} item
 */
export function constraintText(kind, item) {
  if (!kind) return item.rule;
  const limit = Number(item.limit);
  let said = kind.text
    .replace("{limit}", String(item.limit ?? "…"))
    .replaceAll("{s}", limit === 1 ? "" : "s")
    .replaceAll("{es}", limit === 1 ? "" : "es");
  if (item.limit === 0 && kind.limit?.unit === "dribbles") said = said.replace("0 dribbles at most", "no dribble");
  return item.figure ? `${item.figure}: ${said}` : said;
}

/**
 * @param {ConstraintKind | undefined} kind
 * @param {Constraint} item
 */
export function costOf(kind, item) {
  return item.cost ?? kind?.usual_cost ?? "";
}

/**
 * @param {PointKind | undefined} kind
 * @param {PointRule} item
 */
export function pointText(kind, item) {
  return kind?.text ?? item.rule;
}

/** @param {number} points */
export function signed(points) {
  return Number(points) < 0 ? `−${Math.abs(points)}` : `+${points}`;
}

/**
 * Whether the trial takes a rule into account, in a coach's words.
 * @param {{ played: boolean, personal?: boolean } | undefined} kind
 * @param {string | null} [figure] the one it binds
 */
export function playedText(kind, figure) {
  return kind?.played && (!figure || kind.personal) ? "played in the trial" : "left to your eye";
}

/**
 * What a form says about a constraint before it is set.
 * @param {ConstraintKind} kind
 * @param {string | null} figure
 */
export function constraintNote(kind, figure) {
  if (!kind.played) return `The trial does not play it: ${kind.why}. Look for this yourself: ${kind.watch}.`;
  if (figure && !kind.personal) return `The trial plays this rule for the whole side, not for ${figure} alone: watch ${figure} yourself.`;
  return "The trial plays this rule.";
}

/**
 * What a form warns of before a point rule is set; nothing for most.
 * @param {PointKind} kind
 * @param {string[]} levels of the players who are here, as far as they are known
 */
export function pointCaution(kind, levels) {
  const young = kind.not_for.filter((level) => levels.includes(level));
  const here = young.length ? `Your squad has ${young.join(" and ")} players: leave it off.` : "";
  return [kind.caution, here].filter(Boolean).join(" ");
}

/**
 * What a form says about a point rule beside its caution.
 * @param {PointKind} kind
 */
export function pointNote(kind) {
  const played = kind.played ? "The trial counts it." : "The trial does not count it: it is left to your eye.";
  return [kind.means, played].filter(Boolean).join(" ");
}

/** @param {Game} game */
export function entryText({ start, entry, live }) {
  const to = entry.to ? ` to ${entry.to}` : "";
  /** @type {Record<string, string>} */
  const first = {
    none: "no entry",
    passes: `${counted(entry.passes, "pass", "passes")} first${to && `, ending with ${entry.to}`}`,
    "coach feeds": `the coach feeds${to}`,
    cue: "on a cue",
    swap: "a swap of places first",
  };
  const when =
    live === "start" ? "live at once" : live === "entry done" ? "live when that is done" : `live on the ${live}`;
  return `${start.ball === "C" ? "The coach" : start.ball} has the ball; ${first[entry.kind] ?? entry.kind}; ${when}`;
}

/**
 * @param {string} help
 * @param {boolean} [rotation]
 */
export function helpText(help, rotation = false) {
  if (help === "never") return "Helpers stay with their own";
  const leave = help === "when beaten" ? "Helpers leave when the ball beats its guard" : `Helpers leave on ${help}`;
  return rotation ? `${leave}, the others rotate` : leave;
}

/** @param {Game} game */
export function endingText({ ending }) {
  const must = { clear: "a stop must be cleared", outlet: "a stop needs an outlet" }[ending.defence_must];
  const parts = [
    ending.make === "possession ends" ? "a score or a stop ends it" : "after a score, again from the start",
    ending.offensive_rebound === "play on" ? "an offensive rebound plays on" : "an offensive rebound ends it",
    ending.foul === "free throws"
      ? "a foul means free throws"
      : ending.foul === "possession ends"
        ? "a foul ends it"
        : "a foul means again",
    must ?? "",
    `${ending.reset_s} s to the next start`,
  ];
  return sentenceCase(parts.filter(Boolean).join("; "));
}

/** @param {Game} game */
export function finishText({ finish, rota }) {
  const ends = [
    finish.minutes === null ? "" : `${finish.minutes} minutes`,
    finish.points === null ? "" : `a score of ${finish.points}`,
  ];
  const over = ends.filter(Boolean).join(" or ") || "no end set";
  return `${sentenceCase(rota.rule)}; ${rota.teams === "fixed" ? "teams stay together" : "sides are mixed"}; ${over}`;
}

/** @param {string[]} lines */
export function linesText(lines) {
  return lines.filter(Boolean).join(" · ") || "none yet";
}

/** @param {Game} game */
export function startsText({ start }) {
  if (!start.variants.length) return "one start";
  return sentenceCase(
    `the start, and ${start.variants.map((variant) => variant.name || "a start without a name").join(", ")}`,
  );
}

/**
 * @param {Game} game
 * @param {Vocabulary} vocabulary
 */
export function subtitle(game, vocabulary) {
  const court = vocabulary.courts[game.court]?.name ?? game.court;
  return `${sidesText(game.sides)}, ${court} half court`;
}

/** @param {Problem} problem */
export function problemText(problem) {
  return `${sentenceCase(problem.what)}. ${problem.mend}`;
}

/**
 * A moment as a person says it: `10:42` today, `3 May` this year, `3 May 2024`.
 * @param {string} iso
 * @param {Date} now
 */
export function whenText(iso, now) {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return "";
  if (at.toDateString() === now.toDateString())
    return at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  /** @type {Intl.DateTimeFormatOptions} */
  const date = {
    day: "numeric",
    month: "short",
    ...(at.getFullYear() === now.getFullYear() ? {} : { year: "numeric" }),
  };
  return at.toLocaleDateString("en-GB", date);
}
