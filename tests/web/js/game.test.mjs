import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import * as changes from "../../../src/courtwright/web/static/js/model/changes.js";
import * as game_model from "../../../src/courtwright/web/static/js/model/game.js";
import { mergePatch } from "../../../src/courtwright/web/static/js/model/merge.js";
import * as path from "../../../src/courtwright/web/static/js/model/path.js";
import { countedPlace } from "../../../src/courtwright/web/static/js/model/problem_places.js";
import * as words from "../../../src/courtwright/web/static/js/model/words.js";

const model = { ...game_model, ...changes };
const { spots } = JSON.parse(readFileSync(new URL("../../data/nearest-spots.json", import.meta.url), "utf8")).courts
  .fiba;
const court = { name: "FIBA", side_x_m: 7.5, end_line_y_m: -1.575, far_y_m: 12.425, spots };
const game = model.emptyGame(court, "fiba");

test("an empty game has every figure in a place of its own", () => {
  const places = [...model.placedM(game, court).values()];
  assert.deepEqual([...model.placedM(game, court).keys()].sort(), ["1", "2", "3", "X1", "X2", "X3"]);
  places.forEach((one, index) => {
    for (const other of places.slice(index + 1)) assert.ok(Math.hypot(one[0] - other[0], one[1] - other[1]) > 0.3);
  });
});

test("larger sides place the new figures, smaller ones take their words away", () => {
  let large = model.withSides(game, court, { offence: 5, defence: 5, neutral: 2, coach: true });
  assert.equal(large.start.placements.length, 13);
  large = path.setAt(large, ["start", "ball"], "5");
  large = path.setAt(large, ["entry"], { kind: "coach feeds", passes: 0, to: "4", say: "" });
  large = path.setAt(large, ["live"], "entry done");
  large = path.appendAt(large, ["constraints"], { rule: "dribbles", limit: 1, cost: null, figure: "4" });
  large = path.setAt(large, ["start", "placements", 7, "guards"], "5");
  const small = model.withSides(large, court, { offence: 2, defence: 2, neutral: 0, coach: false });
  assert.deepEqual(
    small.start.placements.map((item) => item.figure),
    ["1", "2", "X1", "X2"],
  );
  assert.equal(small.start.ball, "1");
  assert.deepEqual([small.entry.kind, small.entry.to, small.live], ["none", null, "start"]);
  assert.deepEqual(small.constraints, []);
  assert.ok(small.start.placements.every((item) => item.guards === null));
  assert.equal(large.start.placements.length, 13, "the old document stays as it was");
});

test("a figure put on a mirrored start is kept the other way round, and shown where it was put", () => {
  const mirrored = model.withVariant(game, court, true);
  const moved = model.withPlace(mirrored, 0, "1", "left wing");
  assert.equal(moved.start.variants[0].placements[0].at, "right wing");
  assert.equal(model.placeOf(moved, 0, "1"), "left wing");
  assert.deepEqual(model.placedM(moved, court, 0).get("1"), spots["left wing"]);
  assert.equal(model.placeOf(moved, null, "1"), model.placeOf(game, null, "1"), "the plain start stays");
});

test("a defender answers for the attacker named, else of the same number, else the first", () => {
  const named = path.setAt(
    game,
    ["start", "placements"],
    game.start.placements.map((item) => (item.figure === "X2" ? { ...item, guards: "3" } : item)),
  );
  const uneven = model.withSides(named, court, { offence: 3, defence: 4 });
  assert.deepEqual(Object.fromEntries(model.guardsOf(uneven)), { X1: "1", X2: "3", X3: "3", X4: "1" });
});

test("a gap is measured to one's guard, or to the nearest defender where there is none", () => {
  const uneven = model.withSides(game, court, { offence: 3, defence: 1 });
  const places = model.placedM(uneven, court);
  assert.equal(model.opposite(uneven, places, "1"), "X1");
  assert.equal(model.opposite(uneven, places, "3"), "X1");
  assert.equal(model.opposite(uneven, places, "C"), null);
});

test("on a smaller court nobody stands outside", () => {
  const wide = model.withPlace(game, null, "1", [7.4, 12]);
  const small = { ...court, side_x_m: 7, far_y_m: 11 };
  assert.deepEqual(model.placeOf(model.withCourt(wide, "mini", small), null, "1"), [7, 11]);
});

test("setting a value leaves the old document and every untouched part alone", () => {
  const next = path.setAt(game, ["ending", "reset_s"], 12);
  assert.equal(game.ending.reset_s, 9);
  assert.equal(next.ending.reset_s, 12);
  assert.equal(next.start, game.start);
  assert.equal(path.setAt(game, ["ending", "reset_s"], 9), game, "nothing new is nothing changed");
});

test("documents are the same whatever the order of their keys", () => {
  assert.ok(path.same({ a: [1, { b: null }], c: "x" }, { c: "x", a: [1, { b: null }] }));
  assert.ok(!path.same({ a: 1 }, { a: 1, b: undefined }));
  assert.ok(!path.same([1, 2], { 0: 1, 1: 2 }));
});

test("a form changes the game as RFC 7396 says", () => {
  // the example of the RFC's introduction
  const target = {
    title: "Goodbye!",
    author: { givenName: "John", familyName: "Doe" },
    tags: ["example", "sample"],
    content: "This will be unchanged",
  };
  const patch = { title: "Hello!", phoneNumber: "+01-123-456-7890", author: { familyName: null }, tags: ["example"] };
  const result = {
    title: "Hello!",
    author: { givenName: "John" },
    tags: ["example"],
    content: "This will be unchanged",
    phoneNumber: "+01-123-456-7890",
  };
  assert.deepEqual(mergePatch(target, patch), result);
});

test("rules read as a coach says them", () => {
  const dribbles = { text: "{limit} dribble{s} at most", limit: { unit: "dribbles" }, usual_cost: "turnover" };
  const say = (limit, figure = null) => words.constraintText(dribbles, { rule: "dribbles", limit, figure });
  assert.equal(say(3), "3 dribbles at most");
  assert.equal(say(1), "1 dribble at most");
  assert.equal(say(0), "no dribble");
  assert.equal(say(2, "X1"), "X1: 2 dribbles at most");
  assert.equal(
    words.constraintText({ text: "{limit} pass{es} before a shot", limit: {} }, { limit: 1 }),
    "1 pass before a shot",
  );
  assert.equal(words.signed(-2), "−2");
  assert.equal(
    words.sidesText({ offence: 3, defence: 2, neutral: 1, coach: true }),
    "3 on 2 with 1 neutral and a coach",
  );
});

test("times of today, of this year and of older ones", () => {
  const now = new Date("2026-11-25T18:00:00");
  assert.equal(words.whenText("2026-11-25T09:05:00", now), "09:05");
  assert.equal(words.whenText("2026-05-03T09:05:00", now), "3 May");
  assert.equal(words.whenText("2024-05-03T09:05:00", now), "3 May 2024");
  assert.equal(words.whenText("nonsense", now), "");
});

test("another start is never the plain start again, and everyone in it has room", () => {
  const other = model.withVariant(game, court, false);
  const places = [...model.placedM(other, court, 0).values()];
  assert.notDeepEqual(places, [...model.placedM(game, court).values()]);
  places.forEach((one, index) => {
    for (const next of places.slice(index + 1)) assert.ok(Math.hypot(one[0] - next[0], one[1] - next[1]) > 0.3);
  });
});

test("an entry brings along what hangs on it", () => {
  const coached = model.withSides(game, court, { coach: true });
  const fed = model.withEntry(coached, "coach feeds");
  assert.equal(fed.start.ball, "C");
  const passed = model.withEntry(fed, "passes");
  assert.deepEqual([passed.start.ball, passed.entry.passes], ["1", 1]);
  const cued = model.withEntry(path.setAt(passed, ["entry", "to"], "2"), "cue");
  assert.deepEqual(cued.entry, { kind: "cue", passes: 0, to: null, say: "go" });
  const none = model.withEntry(path.setAt(passed, ["live"], "entry done"), "none");
  assert.equal(none.live, "start");
});

test("problems of sense lead to the fields they name", () => {
  const named = {
    ...model.withVariant(game, court, true),
    constraints: [{ rule: "shot clock" }, { rule: "dribbles" }],
    points: [{ rule: "basket" }, { rule: "stop" }],
    forms: [{ players: 8 }, { players: 6 }],
  };
  const figure = named.start.placements.findIndex((item) => item.figure === "X2") + 1;
  for (const [told, counted] of [
    ["start, figure X2", `start, placement ${figure}`],
    ["start, figures X2 and X3", `start, placement ${figure}`],
    ["start, variant “mirror image”, figures 1 and 2", "start, variant 1"],
    ["constraint “dribbles”, limit", "constraint 2, limit"],
    ["point rule “stop”", "point rule 2"],
    ["form for 6 players", "form 2"],
    ["ending, reset_s", "ending, reset_s"],
    ["start, figure X9", "start, figure X9"],
  ]) {
    assert.equal(countedPlace(named, told), counted);
  }
});

test("what is drawn leaves out what need not be sound", () => {
  const odd = { ...model.withVariant(game, court, true), name: " ", forms: [{ players: 1 }] };
  const { document, variant } = model.drawable(odd, 0);
  assert.deepEqual(
    [variant, document.start.variants.length, document.name, "forms" in document],
    [0, 1, "a game", false],
  );
  assert.equal(model.drawable(odd, null).variant, null);
});

test("a rule says whether the trial plays it for whom it binds", () => {
  const side = { played: true, personal: false };
  const one = { played: true, personal: true };
  assert.deepEqual(
    [words.playedText(side), words.playedText(side, "2"), words.playedText(one, "2"), words.playedText({ played: false })],
    ["played in the trial", "left to your eye", "played in the trial", "left to your eye"],
  );
  assert.match(words.constraintNote(side, "2"), /not for 2 alone: watch 2 yourself/);
  assert.equal(words.constraintNote(side, null), "The trial plays this rule.");
  const unplayed = { played: false, why: "nobody speaks", watch: "a loud word" };
  assert.equal(
    words.constraintNote(unplayed, null),
    "The trial does not play it: nobody speaks. Look for this yourself: a loud word.",
  );
});

test("a caution stands by itself, and names the levels that are here", () => {
  const charge = { caution: "Only for the taught.", not_for: ["U12", "U14"], means: "", played: true };
  assert.equal(words.pointCaution(charge, ["U16"]), "Only for the taught.");
  assert.equal(
    words.pointCaution(charge, ["U14", "U16", "U12"]),
    "Only for the taught. Your squad has U12 and U14 players: leave it off.",
  );
  assert.equal(words.pointNote(charge), "The trial counts it.");
  assert.equal(words.pointCaution({ ...charge, caution: "", not_for: [] }, ["U12"]), "");
});
