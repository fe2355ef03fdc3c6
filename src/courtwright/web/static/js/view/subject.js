/** What the board shows: the start of a game, or a moment kept with it. The board asks both in the same words. */

import { drawable, kindOf, opposite, placedM, placeOf, withPlace } from "../model/game.js";
import { distanceM, keptOnFloor, lengthText, placeM, placeText } from "../model/geometry.js";
import { answersFor, speedOf, startAsMoment, withFigure } from "../model/moment.js";
import { prefs } from "./prefs.js";

/** @import { Editor } from "../editor.js" */
/** @import { CourtLines, Game, MomentDocument, Place, Point, Vocabulary } from "../types.js" */

const COACH_OUTSIDE_M = 2;

/** @typedef {{ url: string, json: Record<string, unknown> }} Question */

/**
 * @param {Vocabulary} vocabulary
 * @param {string} rules
 * @returns {CourtLines}
 */
function courtOf(vocabulary, rules) {
  return vocabulary.courts[rules] ?? Object.values(vocabulary.courts)[0];
}

export class GameOnBoard {
  /** @type {number | null} */ variant = null;

  /**
   * @param {Editor<Game>} editor
   * @param {Vocabulary} vocabulary
   * @param {string} picture where the server's own drawing is
   */
  constructor(editor, vocabulary, picture) {
    this.editor = editor;
    this.vocabulary = vocabulary;
    this.picture = picture;
  }

  get court() {
    return courtOf(this.vocabulary, this.editor.doc.court);
  }

  /** A start that is no longer there cannot be shown. */
  settle() {
    if (this.variant !== null && this.variant >= this.editor.doc.start.variants.length) this.variant = null;
  }

  /** @returns {Map<string, Point>} */
  places() {
    return placedM(this.editor.doc, this.court, this.variant);
  }

  /** @param {string} figure */
  placeOf(figure) {
    return placeOf(this.editor.doc, this.variant, figure);
  }

  /**
   * @param {string} figure
   * @param {Place} at
   * @param {string} [key]
   */
  put(figure, at, key) {
    this.editor.edit(withPlace(this.editor.doc, this.variant, figure, at), key);
  }

  /**
   * @param {Map<string, Point>} places
   * @param {string} figure
   */
  opposite(places, figure) {
    return opposite(this.editor.doc, places, figure);
  }

  /** @param {Map<string, Point>} places */
  moment(places) {
    return startAsMoment(this.editor.doc, places);
  }

  /** @returns {Question} */
  drawing() {
    return { url: "/api/draw", json: drawable(this.editor.doc, this.variant) };
  }
}

export class MomentOnBoard {
  /** @type {{ figure: string, moving: Point } | null} how a figure would run, while a hand is still at it */ pulled = null;

  /**
   * @param {Editor<MomentDocument>} editor
   * @param {Vocabulary} vocabulary
   * @param {string} picture
   */
  constructor(editor, vocabulary, picture) {
    this.editor = editor;
    this.vocabulary = vocabulary;
    this.picture = picture;
  }

  get court() {
    return courtOf(this.vocabulary, this.editor.doc.court);
  }

  settle() {}

  /** @returns {Map<string, Point>} */
  places() {
    return new Map(this.editor.doc.figures.map(({ figure, at }) => [figure, placeM(this.court.spots, at)]));
  }

  /**
   * @param {string} figure
   * @returns {Place}
   */
  placeOf(figure) {
    return this.editor.doc.figures.find((item) => item.figure === figure)?.at ?? "";
  }

  /**
   * @param {string} figure
   * @param {Place} at
   * @param {string} [key]
   */
  put(figure, at, key) {
    this.editor.edit(withFigure(this.editor.doc, figure, { at }), key);
  }

  /**
   * @param {string} figure
   * @param {Point} moving_m_per_s
   * @param {string} [key]
   */
  run(figure, moving_m_per_s, key) {
    this.editor.edit(withFigure(this.editor.doc, figure, { moving_m_per_s }), key);
  }

  /** @param {string} figure */
  speedOf(figure) {
    return speedOf(this.editor.doc.figures.find((item) => item.figure === figure)?.moving_m_per_s ?? [0, 0]);
  }

  /**
   * @param {Map<string, Point>} places
   * @param {string} figure
   */
  opposite(places, figure) {
    return answersFor(this.editor.doc, places, figure);
  }

  /**
   * @param {Map<string, Point>} places
   * @returns {MomentDocument}
   */
  moment(places) {
    const { doc } = this.editor;
    const { pulled } = this;
    const figures = doc.figures.map((item) => ({
      ...item,
      at: places.get(item.figure) ?? item.at,
      moving_m_per_s: pulled?.figure === item.figure ? pulled.moving : item.moving_m_per_s,
    }));
    return { ...doc, name: doc.name.trim() || "moment", figures };
  }

  /** @returns {Question} */
  drawing() {
    return { url: "/api/draw/moment", json: { moment: this.moment(this.places()), drive: false } };
  }
}

/** @typedef {GameOnBoard | MomentOnBoard} Subject */


/**
 * Where a figure is, in words: `attacker 1: left slot, 1.4 m from X1`, and how fast it runs.
 * @param {Subject} subject
 * @param {string} figure
 */
export function saidOf(subject, figure) {
  const places = subject.places();
  const at = places.get(figure) ?? /** @type {Point} */ ([0, 0]);
  const other = subject.opposite(places, figure);
  const there = places.get(other ?? "");
  const gap = there ? `, ${lengthText(distanceM(at, there), prefs.feet)} from ${other}` : "";
  const named = subject.placeOf(figure);
  const speed = subject instanceof MomentOnBoard ? subject.speedOf(figure) : 0;
  const runs = speed > 0 ? `, runs at ${speed.toFixed(1)} metres a second` : "";
  return `${kindOf(figure)} ${figure}: ${typeof named === "string" ? named : placeText(subject.court.spots, at, prefs.feet)}${gap}${runs}`;
}

/**
 * Players stay on the floor; a coach may stand beside it.
 * @param {CourtLines} court
 * @param {string} figure
 * @param {Point} point
 */
export function allowed(court, figure, point) {
  return keptOnFloor(court, point, figure === "C" ? COACH_OUTSIDE_M : 0);
}
