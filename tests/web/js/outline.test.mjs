import assert from "node:assert/strict";
import { test } from "node:test";

import { outlines } from "../../../src/courtwright/web/static/js/model/outline.js";

/** @param {[number, number][]} loop twice the signed area is never negative for a line drawn clockwise */
const area = (loop) =>
  loop.reduce((sum, [x, y], index) => {
    const [nextX, nextY] = loop[(index + 1) % loop.length];
    return sum + (x * nextY - nextX * y) / 2;
  }, 0);

test("the whole grid keeps its four corners, and nothing has no outline", () => {
  const [whole] = outlines(3, 2, () => true);
  for (const corner of [[0, 0], [3, 0], [3, 2], [0, 2]]) assert.ok(whole.some((at) => `${at}` === `${corner}`));
  assert.equal(area(whole), 6);
  assert.deepEqual(outlines(3, 2, () => false), []);
});

test("a straight border stays straight and reaches the edge", () => {
  const [half] = outlines(8, 6, (_, column) => column < 4);
  assert.ok(half.filter(([x]) => x > 3.2).every(([x, y]) => Math.abs(x - 4) < 1e-9 || y === 0 || y === 6));
  assert.ok(Math.abs(area(half) - 24) < 0.2);
});

test("a stair becomes a slope: no point of it is a corner of a cell, and it takes as much floor", () => {
  const [slope] = outlines(40, 40, (row, column) => column < row);
  const inner = slope.filter(([x, y]) => x > 1 && x < 39 && y > 1 && y < 39);
  assert.ok(inner.length > 30);
  for (const [x, y] of inner) assert.ok(Math.abs(y - x - 0.5) < 0.26, `${x}, ${y}`);
  assert.ok(Math.abs(area(slope) - 780) < 5);
});

test("two parts and a hole are lines of their own, the hole the other way round", () => {
  const cells = ["XXX...", "X.X..X", "XXX..X"];
  const found = outlines(6, 3, (row, column) => cells[row][column] === "X");
  assert.equal(found.length, 3);
  assert.equal(found.filter((loop) => area(loop) < 0).length, 1);
});
