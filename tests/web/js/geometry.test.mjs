import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import * as geometry from "../../../src/courtwright/web/static/js/model/geometry.js";

const shared = JSON.parse(readFileSync(new URL("../../data/nearest-spots.json", import.meta.url), "utf8"));
const { spots } = shared.courts.fiba;

for (const [rules, court] of Object.entries(shared.courts)) {
  test(`nearest spots on the ${rules} court are the server's`, () => {
    for (const { at, nearest, gap_m } of court.cases) {
      const found = geometry.nearestSpot(court.spots, at);
      assert.equal(found.name, nearest);
      assert.ok(Math.abs(found.gap_m - gap_m) < 0.001);
    }
  });
}

test("a figure within 0.35 m of a spot takes its name, one beyond keeps its metres", () => {
  const [x, y] = spots["left corner"];
  assert.equal(geometry.snapped(spots, [x + 0.34, y]), "left corner");
  assert.deepEqual(geometry.snapped(spots, [x + 0.36, y]), [-6.59, 0]);
  assert.deepEqual(geometry.snapped(spots, [x, y], 0), "left corner");
});

test("no minus zero gets into a document", () => {
  assert.ok(Object.is(geometry.roundedCm([-0.001, -0.004])[0], 0));
  assert.ok(Object.is(geometry.mirrored([0, 1])[0], 0));
});

test("places read as typed, with a point or a comma in the numbers", () => {
  for (const text of ["1.25, 6.4", "1.25 6.4", "1,25; 6,4", "1.25,6.4", " 1,25  6,4 "]) {
    assert.deepEqual(geometry.parsedPlace(text), [1.25, 6.4], text);
  }
  assert.deepEqual(geometry.parsedPlace("−1.5, −0.2"), [-1.5, -0.2]);
  assert.equal(geometry.parsedPlace("  Left   short-corner "), "left short corner");
  assert.equal(geometry.parsedPlace("1.2, near"), "1.2, near");
});

test("what stands in a place's field reads back as the place", () => {
  for (const at of ["nail", [0, 0], [-3.25, 6.4], [7.5, -1.57]]) {
    assert.deepEqual(geometry.parsedPlace(geometry.placeField(at)), at);
  }
});

test("places in words name the nearest spot and the way to it", () => {
  assert.equal(geometry.placeText(spots, "nail"), "nail");
  const [x, y] = spots.nail;
  assert.equal(geometry.placeText(spots, [x, y + 1]), "1.0 m from the nail");
  assert.equal(geometry.placeText(spots, [x, y + 1], true), "3 ft 3 in from the nail");
});

test("feet carry over: twelve inches are a foot", () => {
  assert.equal(geometry.lengthText(0.3047 * 2, true), "2 ft 0 in");
});

test("the mirror image of a mirror image is the place", () => {
  for (const at of ["left wing", "right short corner", "top", [1.5, 2]]) {
    assert.deepEqual(geometry.mirrored(geometry.mirrored(at)), at);
  }
  assert.equal(geometry.mirrored("left wing"), "right wing");
});
