import assert from "node:assert/strict";
import { test } from "node:test";

import { rangeText, scaleOver, valueText } from "../../../src/courtwright/web/static/js/model/numbers.js";

test("shares are per cent, other numbers carry decimals while they are small", () => {
  assert.equal(valueText(0.614, "share of possessions"), "61\u00a0%");
  assert.equal(valueText(5.24, "seconds"), "5.2");
  assert.equal(valueText(21.4, "points per run"), "21");
  assert.equal(valueText(0.417, "per possession"), "0.42");
  assert.equal(valueText(-1.5, "points per run"), "−1.5");
});

test("a range is written once where both ends read alike, and says so where there is too little", () => {
  assert.equal(rangeText({ mean: 0.6, low: 0.52, high: 0.69, unit: "share of possessions" }), "52–69\u00a0%");
  assert.equal(rangeText({ mean: 12, low: 12, high: 12, unit: "turns per run" }), "12");
  assert.equal(rangeText({ mean: null, low: null, high: null, unit: "metres" }), "too few to say");
});

test("a scale holds every value between round marks", () => {
  for (const values of [
    [0, 1],
    [9.2, 13],
    [-3, 41],
    [5, 5],
    [0.02, 0.031],
  ]) {
    const { from, to, ticks, at } = scaleOver(values);
    assert.ok(from <= Math.min(...values) && to >= Math.max(...values) && to > from);
    assert.equal(at(from), 0);
    assert.equal(at(to), 100);
    assert.ok(ticks.length >= 2 && ticks.length <= 8);
  }
});
