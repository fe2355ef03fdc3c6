import assert from "node:assert/strict";
import { test } from "node:test";

import { known, meanText, rangeText, scaleOver } from "../../../src/courtwright/web/static/js/model/numbers.js";

const estimate = (mean, low, high, unit) => ({ mean, low, high, unit });

test("shares are per cent, other numbers carry decimals while they are small", () => {
  for (const [mean, low, high, unit, meant, ranged] of [
    [0.614, 0.52, 0.69, "share of possessions", "61\u00a0%", "52–69\u00a0%"],
    [5.24, 4.61, 5.9, "seconds", "5.2", "4.6–5.9"],
    [21.4, 15, 27, "points per run", "21", "15–27"],
    [0.417, 0.3, 0.5, "per possession", "0.42", "0.30–0.50"],
    [0.9, 0.72, 1.0, "metres", "0.9", "0.7–1.0"],
    [-1.5, -3, 0, "points per run", "−1.5", "−3.0–0.0"],
    [12, 12, 12, "turns per run", "12", "12"],
  ]) {
    assert.deepEqual(
      [meanText(estimate(mean, low, high, unit)), rangeText(estimate(mean, low, high, unit))],
      [meant, ranged],
    );
  }
});

test("where there is too little to say it says so", () => {
  const nothing = estimate(null, null, null, "metres");
  assert.deepEqual([meanText(nothing), rangeText(nothing), known(nothing)], ["–", "too few to say", null]);
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
