import assert from "node:assert/strict";
import { test } from "node:test";

import * as switches from "../../../src/courtwright/web/static/js/model/switch.js";
import * as timeline from "../../../src/courtwright/web/static/js/model/timeline.js";

const drive = {
  times_s: [0, 0.5, 1],
  places_m: { 1: [[0, 7], [0, 6], [1, 4]], X1: [[0, 5], [0, 5], [0, 5]] },
  ball_m: [[0, 7], [0, 6], [1, 4]],
  events: [
    { t_s: 0.32, text: "first step" },
    { t_s: 0.62, text: "1st dribble" },
  ],
  gap: { shooter: "2", defender: "X2", gap_m: 2.6 },
};

test("between two samples everyone is on the straight line, and outside them at its ends", () => {
  assert.deepEqual(timeline.placesAt(drive, 0.25).places.get("1"), [0, 6.5]);
  assert.deepEqual(timeline.placesAt(drive, 0.75).ball, [0.5, 5]);
  assert.deepEqual(timeline.placesAt(drive, 0).places.get("1"), [0, 7]);
  assert.deepEqual(timeline.placesAt(drive, 0.5).places.get("1"), [0, 6]);
  assert.deepEqual(timeline.placesAt(drive, 9).places.get("1"), [1, 4]);
});

test("steps go from event to event, to the ends and no further", () => {
  const forward = [0];
  for (let step = 0; step < 4; step++) forward.push(timeline.stepS(drive, forward.at(-1), 1));
  assert.deepEqual(forward, [0, 0.32, 0.62, 1, 1]);
  assert.deepEqual(
    [1, 0.62, 0.5, 0.32, 0].map((t_s) => timeline.stepS(drive, t_s, -1)),
    [0.62, 0.32, 0.32, 0, 0],
  );
});

test("what has happened last is said with the time", () => {
  assert.equal(timeline.momentText(drive, 0), "the catch · 0.0 s");
  assert.equal(timeline.momentText(drive, 0.62), "1st dribble · 0.6 s");
  assert.equal(timeline.momentText(drive, 0.61), "first step · 0.6 s");
});

const curve = [0.2, 0.25, 0.3, 0.35, 0.4, 0.45].map((share) => ({ open_threes_made: share, early_cost: null }));
const crossing = (low, middle, high, more = {}) => ({ low, middle, high, sets_dear_at_once: 0, sets_free_always: 0, ...more });

test("the switch is drawn where the server has it turn, with its range", () => {
  assert.deepEqual(switches.turn(curve, crossing(0.27, 0.31, 0.36)), { at: 0.31, from: 0.27, to: 0.36 });
  assert.equal(
    switches.turnWords(crossing(0.27, 0.31, 0.36)),
    "It costs from about 31\u00a0% on; eight of ten sets say 27\u00a0% to 36\u00a0%.",
  );
});

test("an end that lies off the curve is drawn at its end and said as open", () => {
  assert.deepEqual(switches.turn(curve, crossing(null, 0.31, null)), { at: 0.31, from: 0.2, to: 0.45 });
  assert.ok(switches.turnWords(crossing(null, 0.31, null)).endsWith("say under 20\u00a0% to over 45\u00a0%."));
});

test("a cost that is always there, or never, has no turn", () => {
  const always = crossing(null, null, null, { sets_dear_at_once: 0.8 });
  const never = crossing(null, null, null, { sets_free_always: 0.8 });
  assert.equal(switches.turn(curve, always), null);
  assert.equal(switches.turnWords(always), "It costs at any share.");
  assert.ok(switches.turnWords(never).startsWith("It does not cost"));
  assert.equal(switches.turn(curve, null), null);
  assert.equal(switches.turnWords(undefined), "");
});
