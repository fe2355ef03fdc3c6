/** The panels of a reading: a table or a plot each, ending in its one plain sentence. */

import { lengthText } from "../model/geometry.js";
import { floorShares } from "../model/moment.js";
import { rangeText } from "../model/numbers.js";
import { percent } from "../model/switch.js";
import { h } from "./dom.js";
import { prefs } from "./prefs.js";
import { helpTable, nowTable, pauseTable } from "./reading_tables.js";
import { switchCurve } from "./switch_curve.js";

/** @import { Child } from "./dom.js" */
/** @import { ReadMore, ReadingResult } from "../types.js" */
/** @import { Row } from "./reading_tables.js" */

const NOTHING = 0.005; // points

/**
 * @typedef {object} Shown what the person has chosen to see
 * @property {string} helper
 * @property {boolean} rotated
 * @property {boolean} late whether what comes after a release is of an earlier reading
 * @property {Row | null} chosen
 * @property {(row: Row | null) => void} choose
 * @property {(helper: string) => void} look
 * @property {HTMLElement} rotation the switch between helping alone and with rotation
 */

/**
 * @param {string} title
 * @param {Child[]} content
 * @param {...(string | undefined)} sentences
 */
function panel(title, content, ...sentences) {
  const said = sentences.filter(Boolean).join(" ");
  return h("section", { class: "panel" }, h("h3", {}, title), ...content, said && h("p", { class: "sentence" }, said));
}

/**
 * @param {ReadingResult} reading
 * @param {ReadMore | null} more
 * @param {Shown} shown
 */
export function readingPanels(reading, more, shown) {
  const { sentences } = reading;
  return [
    panel("The shot and the passes now", [nowTable(reading)], sentences.shot, sentences.passes),
    panel("The drive", [drive(reading)], sentences.drive, sentences.never),
    help(reading, more, shown),
    more && pause(more),
    space(reading, shown.late ? null : more),
  ].filter((part) => part !== null);
}

/** A pause that costs nothing needs no table. @param {ReadMore} more */
function pause({ pauses, sentences }) {
  const costs = pauses.some(({ loss }) => Math.abs(loss.mean ?? 0) > NOTHING);
  const made = panel("A pause after the catch", [costs && pauseTable(pauses)], sentences.pause);
  made.classList.add("after");
  return made;
}

/** @param {ReadingResult} reading */
function drive({ drive: { beat, release, contained_word } }) {
  const pair = (/** @type {string} */ name, /** @type {string} */ value) =>
    h("div", {}, h("dt", {}, name), h("dd", {}, value));
  const seconds = (/** @type {typeof beat} */ one) => (one.mean === null ? "–" : `about ${one.mean.toFixed(1)} s`);
  return h(
    "dl",
    { class: "facts" },
    pair("held by the man on the ball", contained_word),
    pair("past him after", seconds(beat)),
    pair("finish after", seconds(release)),
  );
}

/**
 * @param {ReadingResult} reading
 * @param {ReadMore | null} more
 * @param {Shown} shown
 */
function help(reading, more, shown) {
  const one = reading.help.find((item) => item.helper === shown.helper) ?? reading.help[0];
  if (!one) return null;
  const points = more?.switch[one.helper] ?? [];
  const about = { man: one.man, crossing: more?.crossing[one.helper], even: more?.break_even ?? null };
  const title = `If ${one.helper} leaves ${one.man || "his place"} …`;
  const choices = h("div", { class: "choices" }, reading.help.length > 1 && helpers(reading, one.helper, shown.look), shown.rotation);
  const parts = [
    choices,
    helpTable(one, shown.rotated, shown.chosen, shown.choose),
    h("p", { class: "sentence" }, reading.sentences.help[one.helper]),
    points.length > 0 && switchCurve(points, about),
  ];
  return panel(title, parts, more?.sentences.early[one.helper]);
}

/**
 * @param {ReadingResult} reading
 * @param {string} now
 * @param {(helper: string) => void} look
 */
function helpers({ help }, now, look) {
  const choice = (/** @type {string} */ helper) =>
    h(
      "label",
      { class: "choice" },
      h("input", {
        type: "radio",
        name: "helper",
        value: helper,
        checked: helper === now,
        "data-key": `helper ${helper}`,
        onchange: () => look(helper),
      }),
      ` ${helper}`,
    );
  return h(
    "div",
    { class: "helpers", role: "radiogroup", "aria-label": "helper" },
    ...help.map(({ helper }) => choice(helper)),
  );
}

/**
 * @param {ReadingResult} reading
 * @param {ReadMore | null} more with the range of the map, once it is there
 */
function space({ map, spacing }, more) {
  const nearest = [...spacing.pairs].sort((one, other) => one.distance_m - other.distance_m)[0];
  const attack = Math.round(floorShares(map).offence * 100) / 100;
  const said = more ? rangeText(more.attack_first) : "";
  const range = said.includes("–") ? ` (${said})` : ""; // players who stand and run alike share the floor alike in every set
  const first = `The attack is first to ${percent(attack)}${range} of the half court, the defence to ${percent(1 - attack)}.`;
  const close = nearest
    ? `Nearest together are ${nearest.between.join(" and ")}, ${lengthText(nearest.distance_m, prefs.feet)}.`
    : "";
  const hull = spacing.hull_m2 ? `The attackers span ${Math.round(spacing.hull_m2)} m².` : "";
  return panel("Space", [], first, close, hull);
}

/** What stands behind every reading; the numbers that change stand in the line above it. */
export function howRead() {
  const parts = [
    "A number is the mean under a fixed set of parameters, a bar what eight of ten sets agree on. The middle value alone is never shown, because it jumps.",
    "Players sprint from the speed they have, after a reaction; the ground they can reach is a disc that grows (Fujimura and Sugihara 2005). Closeouts brake, slides are slower, the dribble costs speed. A gap is what is left at the release of the shot.",
    "A drive takes the better side and the best of three distances. A helper leaves on his cue, and either stops the ball or contests the finish. The attack answers at its best: finish, pull up, kick, start over. A kick to the man left counts once his leaving can be seen.",
    "Points are per chance, to the first shot, foul or lost ball; offensive rebounds are left out. Less than 0.03 apart is called level; shaded rows are level with the helper's best.",
    "Assumed: mates stand still during the drive; no screens, no bumping, no second change of direction, no charges; nobody loads up during a pause, so a pause costs at least what is said.",
    "Most figures of a level are estimated or come from grown professionals. Trust in time or late, more than an arm's length, and which way it turns; do not trust points to two decimals. How often a defender holds his man is not calibrated, so it is only low, even or high.",
  ];
  return h("details", { class: "how" }, h("summary", {}, "How this is worked out"), ...parts.map((text) => h("p", {}, text)));
}
