import assert from "node:assert/strict";
import { test } from "node:test";

import { History } from "../../../src/courtwright/web/static/js/model/history.js";

test("every step can be undone and done again, in order", () => {
  const history = new History(0);
  for (let value = 1; value <= 500; value += 1) history.push(value);
  for (let value = 499; value >= 0; value -= 1) assert.equal(history.undo(), value);
  assert.equal(history.canUndo, false);
  assert.equal(history.undo(), 0);
  for (let value = 1; value <= 500; value += 1) assert.equal(history.redo(), value);
  assert.equal(history.canRedo, false);
});

test("changes with one key are one step until the step is sealed", () => {
  const history = new History("");
  for (const text of ["a", "ab", "abc"]) history.push(text, "name");
  history.seal();
  history.push("abcd", "name");
  assert.equal(history.undo(), "abc");
  assert.equal(history.undo(), "");
});

test("another key begins another step, and so does an undo", () => {
  const history = new History(0);
  history.push(1, "x");
  history.push(2, "y");
  history.undo();
  history.push(3, "x");
  assert.equal(history.undo(), 1);
});

test("a new change after an undo forgets what was undone", () => {
  const history = new History("a");
  history.push("b");
  history.undo();
  history.push("c");
  assert.equal(history.canRedo, false);
  assert.equal(history.undo(), "a");
});

test("the same value again is no step", () => {
  const value = {};
  const history = new History(value);
  history.push(value);
  assert.equal(history.canUndo, false);
});
