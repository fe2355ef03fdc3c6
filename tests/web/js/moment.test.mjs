import assert from "node:assert/strict";
import { test } from "node:test";

import * as moment from "../../../src/courtwright/web/static/js/model/moment.js";

const places = new Map([
  ["1", [0, 7]],
  ["2", [-6, 1]],
  ["X1", [0, 5.5]],
  ["X2", [-2, 2]],
  ["C", [0, 11]],
]);
const figure = (name, moving = [0, 0], guards = null) => ({ figure: name, at: places.get(name), moving_m_per_s: moving, guards });

test("every attacker is measured to the nearest defender, whoever guards him, and a coach to none", () => {
  assert.deepEqual(moment.gapsOf(places), [
    ["1", "X1"],
    ["2", "X2"],
  ]);
  assert.deepEqual(moment.gapsOf(new Map(places).set("X1", [-6, 2])), [
    ["1", "X2"],
    ["2", "X1"],
  ]);
  assert.deepEqual(moment.gapsOf(new Map([["1", [0, 0]]])), []);
});

test("a defender answers for the man he is told, else for his number, else for the nearest", () => {
  const doc = { figures: [figure("X1", [0, 0], "2"), figure("X2"), figure("X5")] };
  assert.equal(moment.answersFor(doc, places, "X1"), "2");
  assert.equal(moment.answersFor(doc, places, "X2"), "2");
  assert.equal(moment.answersFor(doc, new Map(places).set("X5", [1, 8]), "X5"), "1");
  assert.equal(moment.answersFor(doc, places, "2"), "X2");
});

test("a speed is kept as the way to a target, and read back as that target", () => {
  for (const target of ["1", "2", "X1", "the ring"]) {
    const there = moment.targetsOf(places, "X2").get(target);
    const moving = moment.movingAt(places.get("X2"), there, 4);
    assert.ok(Math.abs(moment.speedOf(moving) - 4) < 0.01, target);
    assert.equal(moment.runsAt(places, figure("X2", moving)), target);
  }
  assert.equal(moment.runsAt(places, figure("X2")), "");
  assert.equal(moment.runsAt(places, figure("X2", [-1, 4])), "as it is");
});

test("nobody runs to where he stands, and no minus zero gets into the document", () => {
  assert.deepEqual(moment.movingAt([1, 1], [1, 1], 4), [0, 0]);
  assert.ok(Object.is(moment.movingAt([0, 1], [0, 0], 3)[0], 0));
});

test("a game is read by its points, whatever its words and changed forms", () => {
  const game = { name: "", purpose: "x", points: [1], easier: [1], harder: [2], forms: [3], cues: ["c"], cautions: ["d"], question: "q" };
  const read = moment.readable(game);
  assert.deepEqual(read.points, [1]);
  assert.ok(read.name.length > 0);
  assert.deepEqual([read.easier, read.harder, read.forms, read.cues], [[], [], [], []]);
});

test("faster and slower keep the way; one who stands sets off towards his man, or the ring", () => {
  const places = new Map([["X1", [0, 4]], ["1", [3, 4]], ["2", [0, 8]]]);
  const item = (figure, moving_m_per_s, guards = null) => ({ figure, at: places.get(figure), moving_m_per_s, guards });
  assert.deepEqual(moment.withSpeed(places, item("X1", [0, 2]), 4), [0, 4]);
  assert.deepEqual(moment.withSpeed(places, item("X1", [0, 0], "1"), 3), [3, 0]);
  assert.deepEqual(moment.withSpeed(places, item("2", [0, 0]), 2), [0, -2]);
  assert.deepEqual(moment.withSpeed(places, item("X1", [0, 2]), 0), [0, 0]);
});
