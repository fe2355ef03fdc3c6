import assert from "node:assert/strict";
import { test } from "node:test";

import { byMeasure, changeSign, changeText, changeWords } from "../../../src/courtwright/web/static/js/model/change.js";
import { signedPoints } from "../../../src/courtwright/web/static/js/model/numbers.js";
import { decisionAt } from "../../../src/courtwright/web/static/js/model/decisions.js";
import { placesOf, settingText } from "../../../src/courtwright/web/static/js/model/sweep.js";

const points = { key: "points", text: "points", unit: "points per possession", first: 0.7, second: 0.8, change: 0.1 };

test("a change is written with its sign, shares in hundredths", () => {
  assert.equal(changeText({ change: 0.104, unit: "points per possession" }), "+0.10");
  assert.equal(changeText({ change: -0.104, unit: "seconds" }), "−0.10");
  assert.equal(changeText({ change: -0.07, unit: "share of possessions" }), "−7");
  assert.equal(changeText({ change: -0.001, unit: "share of shots" }), "0", "no sign on nothing");
  assert.equal(changeText({ change: 12.4, unit: "per run" }), "+12");
});

test("the whole of a change in words", () => {
  const up = { ...points, low: 0.06, high: 0.14, least: 0.03, verdict: "up", share_of_sets_agreeing: 0.97 };
  assert.equal(changeWords(up), "up: +0.10 (+0.06 to +0.14)");
  assert.equal(changeWords({ ...up, low: null, high: null, verdict: "cannot tell" }), "cannot tell: +0.10 (too few runs)");
});

test("every verdict has a sign of its own", () => {
  const signs = ["up", "down", "no difference", "cannot tell"].map(changeSign);
  assert.equal(new Set(signs).size, 4);
  assert.equal(byMeasure([points]).get("points"), points);
});

test("points carry a sign, nothing carries none", () => {
  assert.equal(signedPoints(0.456), "+0.46");
  assert.equal(signedPoints(-1), "−1.00");
  assert.equal(signedPoints(-0.001), "0.00");
});

test("the decision of a time is the last that was made", () => {
  const decisions = [{ t_s: 0.3 }, { t_s: 0.9 }, { t_s: 0.9 }, { t_s: 2 }];
  assert.equal(decisionAt(decisions, 0), -1);
  assert.equal(decisionAt(decisions, 0.3), 0);
  assert.equal(decisionAt(decisions, 1.5), 2);
  assert.equal(decisionAt(decisions, 9), 3);
});

test("values stand true to scale, words after them", () => {
  const at = (...values) => placesOf(values.map((value) => ({ value })));
  assert.deepEqual(at(1, 2, 5), [0, 0.25, 1]);
  assert.deepEqual(at(0, 1, 2, "none"), [0, 1 / 3, 2 / 3, 1]);
  assert.deepEqual(at("a", "b", "c"), [0, 0.5, 1]);
  assert.deepEqual(at(4), [0.5]);
});

test("a setting names its axis without a gap in front and without saying its unit twice", () => {
  assert.equal(settingText({ text: "… dribbles at most", unit: "dribbles" }), "dribbles at most");
  assert.equal(settingText({ text: "shot within … s", unit: "s" }), "shot within … s");
  assert.equal(settingText({ text: "pause at the reset", unit: "s" }), "pause at the reset, s");
  assert.equal(settingText({ text: "rotation", unit: "" }), "rotation");
});
