/** A drive in time: where everyone is between two samples, and what has happened so far. */

/** @import { Point, Timeline, TimelineEvent } from "../types.js" */

const JUST_S = 0.004; // an event is reached when the hand is on it, rounding aside

/** @param {Timeline} timeline */
export function lengthS({ times_s, events }) {
  return Math.max(times_s.at(-1) ?? 0, events.at(-1)?.t_s ?? 0);
}

/**
 * Where everyone and the ball are at a time, on straight lines between the samples.
 * @param {Timeline} timeline
 * @param {number} t_s
 * @returns {{ places: Map<string, Point>, ball: Point }}
 */
export function placesAt({ times_s, places_m, ball_m }, t_s) {
  const after = times_s.findIndex((time) => time >= t_s);
  const next = after < 0 ? times_s.length - 1 : after;
  const last = Math.max(0, next - 1);
  const span_s = times_s[next] - times_s[last];
  const share = span_s > 0 ? Math.min(1, Math.max(0, (t_s - times_s[last]) / span_s)) : 0;
  const at = (/** @type {Point[]} */ path) =>
    /** @type {Point} */ ([0, 1].map((axis) => path[last][axis] + share * (path[next][axis] - path[last][axis])));
  return { places: new Map(Object.entries(places_m).map(([figure, path]) => [figure, at(path)])), ball: at(ball_m) };
}

/**
 * @param {TimelineEvent[]} events
 * @param {number} t_s
 * @returns {TimelineEvent | null} the last that has happened
 */
export function eventAt(events, t_s) {
  return events.filter((event) => event.t_s <= t_s + JUST_S).at(-1) ?? null;
}

/**
 * The time of the next event, or the one before; the ends where there is none.
 * @param {Timeline} timeline
 * @param {number} t_s
 * @param {1 | -1} way
 */
export function stepS(timeline, t_s, way) {
  const times = [0, ...timeline.events.map((event) => event.t_s)];
  if (way > 0) return times.find((time) => time > t_s + JUST_S) ?? lengthS(timeline);
  return times.filter((time) => time < t_s - JUST_S).at(-1) ?? 0;
}

/**
 * What is seen now, in words: `2nd dribble · 1.1 s`.
 * @param {Timeline} timeline
 * @param {number} t_s
 */
export function momentText(timeline, t_s) {
  const event = eventAt(timeline.events, t_s);
  const time = `${t_s.toFixed(1)} s`;
  if (!event) return `the catch · ${time}`;
  return `${event.text} · ${time}`;
}

/**
 * The two between whom the gap grows: the shooter and the defender who has to come back.
 * @param {Timeline} timeline
 * @returns {[string, string] | null}
 */
export function gapPair({ gap }) {
  return gap ? [gap.shooter, gap.defender] : null;
}
