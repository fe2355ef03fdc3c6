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

const curve = (...costs) =>
  costs.map(([low, mean, high], index) => ({ open_threes_made: 0.2 + 0.05 * index, early_cost: { low, mean, high } }));

test("the switch is where the cost begins for good, with the range of its band", () => {
  const found = switches.crossing(curve([-0.3, -0.2, -0.1], [-0.2, -0.1, 0.1], [-0.1, 0.1, 0.3], [0.1, 0.3, 0.5]));
  assert.ok(Math.abs(found.at - 0.2825) < 1e-9);
  assert.ok(Math.abs(found.from - 0.2325) < 1e-9);
  assert.ok(Math.abs(found.to - 0.3325) < 1e-9);
});

test("a cost that is flat at nothing turns where it is no longer about level", () => {
  assert.ok(Math.abs(switches.crossing(curve([0, 0, 0], [0, 0, 0], [0.1, 0.2, 0.3])).at - 0.2575) < 1e-9);
});

test("a cost that is always there, or never, does not turn", () => {
  assert.equal(switches.crossing(curve([0.1, 0.2, 0.3], [0.2, 0.3, 0.4])), null);
  assert.equal(switches.crossing(curve([-0.2, -0.1, 0], [-0.1, 0, 0])), null);
});
