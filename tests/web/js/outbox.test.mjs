import assert from "node:assert/strict";
import { test } from "node:test";

import { HybridClock, ServerClock, deviceName, factOf } from "../../../src/courtwright/web/static/js/live/device.js";
import { Memory } from "../../../src/courtwright/web/static/js/live/keep.js";
import { Outbox } from "../../../src/courtwright/web/static/js/live/outbox.js";

/** A store of texts, as the browser has one. */
function storage() {
  const kept = new Map();
  return { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value) };
}

/** A server that answers as it is told to, and an outbox with so many facts. */
function outbox(count, ...answers) {
  let waiting = Array.from({ length: count }, (_, index) => ({ event_id: `e${index}` }));
  const sent = [];
  const refused = new Map();
  const box = new Outbox({
    waiting: () => waiting,
    send: async (facts) => {
      sent.push(facts.map((fact) => fact.event_id));
      const answer = answers.length > 1 ? answers.shift() : answers[0];
      return typeof answer === "function" ? answer(facts) : answer;
    },
    settle: async (taken, no) => {
      for (const [event, problems] of no) refused.set(event, problems);
      waiting = waiting.filter((fact) => !taken.includes(fact.event_id) && !no.has(fact.event_id));
    },
    changed: () => {},
  });
  return { box, sent, refused, waiting: () => waiting };
}

const takes = (facts) => ({ status: 200, ok: true, body: { taken: facts.map((fact) => fact.event_id), refused: [] } });
const failing = { status: 503, ok: false, body: null };
const gone = { status: 0, ok: false, body: null };

test("what waits is sent oldest first, many at once", async () => {
  const { box, sent, waiting } = outbox(70, takes);
  await box.push();
  assert.deepEqual([sent.length, sent[0].length, sent[0][0], sent[1][0]], [2, 60, "e0", "e60"]);
  assert.equal(waiting().length, 0);
  assert.equal(box.reached, true);
});

test("no answer and a failing server leave everything waiting, and it is tried again by itself", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { box, sent, waiting } = outbox(2, gone, failing, takes);
  await box.push();
  assert.deepEqual([waiting().length, box.reached, sent.length], [2, false, 1]);
  t.mock.timers.tick(500);
  await new Promise(setImmediate);
  assert.deepEqual([waiting().length, sent.length], [2, 2]);
  t.mock.timers.tick(999); // it waits longer each time
  await new Promise(setImmediate);
  assert.equal(sent.length, 2);
  t.mock.timers.tick(1);
  await new Promise(setImmediate);
  assert.deepEqual([waiting().length, box.reached], [0, true]);
});

test("one that spoils the rest is found, and only that one is refused", async () => {
  const problem = { place: "body", what: "is none", mend: "Tell it anew." };
  const { box, refused, waiting } = outbox(4, (facts) =>
    facts.some((fact) => fact.event_id === "e2") ? { status: 422, ok: false, body: { problems: [problem] } } : takes(facts),
  );
  await box.push();
  assert.deepEqual([...refused], [["e2", [problem]]]);
  assert.equal(waiting().length, 0);
});

test("a fact that is refused by itself goes to the list, the others are taken", async () => {
  const { box, refused, waiting } = outbox(2, (facts) => ({
    status: 200,
    ok: true,
    body: { taken: ["e1"], refused: facts.filter((fact) => fact.event_id === "e0").map(() => ({ event: "e0", problems: [] })) },
  }));
  await box.push();
  assert.deepEqual([[...refused.keys()], waiting().length], [["e0"], 0]);
});

test("a device that is let in no more keeps what it has and says why", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const problem = { place: "device", what: "is not let in any more", mend: "Ask the coach for a code." };
  const { box, waiting } = outbox(1, { status: 401, ok: false, body: { problems: [problem] } });
  await box.push();
  assert.deepEqual([waiting().length, box.barred], [1, [problem]]);
});

test("hybrid time never runs backwards and never stands still", () => {
  let now = 1000;
  const clock = new HybridClock(() => now);
  assert.equal(clock.next(), "1000.0");
  assert.equal(clock.next(), "1000.1");
  now = 500; // somebody set the clock back
  assert.equal(clock.next(), "1000.2");
  clock.see("90000.4"); // from a device that is far ahead
  assert.equal(clock.next(), "90000.5");
  clock.see("80.0");
  now = 100_000;
  assert.equal(clock.next(), "100000.0");
});

test("the server's clock is guessed from the answer that came back soonest", () => {
  let now = 1_000_000;
  const kept = storage();
  const clock = new ServerClock(kept, () => now);
  clock.hear(1_060_000, 400);
  assert.equal(clock.ms, 1_060_200);
  clock.hear(1_059_990, 20);
  assert.equal(clock.ms, 1_060_000);
  clock.hear(1_060_300, 900); // slower: says nothing new
  assert.equal(clock.ms, 1_060_000);
  assert.equal(new ServerClock(kept, () => now).ms, 1_060_000, "kept for the next page");
  now += 3_600_000; // this device's clock was set an hour on
  clock.hear(1_070_000, 100);
  assert.equal(clock.ms, 1_070_050);
});

test("a device has one name, also where the browser keeps nothing", () => {
  const kept = storage();
  assert.equal(deviceName(kept), deviceName(kept));
  assert.match(deviceName(kept), /^[0-9a-z]{14}$/);
  const nothing = {
    getItem: () => {
      throw new Error("no storage here");
    },
    setItem: () => {},
  };
  assert.match(deviceName(nothing), /^[0-9a-z]{14}$/);
});

test("facts have names of their own and say where they come from", () => {
  const from = { device: "d", sequence: 3, time: "1.0", run: "r", game_id: "g", game_hash: "h" };
  const [one, other] = [1, 2].map(() => factOf(from, { kind: "steal", possession: 2, turn: 1, detail: {} }));
  assert.notEqual(one.event_id, other.event_id);
  assert.deepEqual({ ...one, event_id: "" }, { event_id: "", device: "d", sequence: 3, time: "1.0", run_id: "r", possession: 2, turn: 1, game_id: "g", game_hash: "h", kind: "steal", detail: {} });
});

test("where the browser keeps nothing, the page does", async () => {
  const keep = new Memory();
  const rows = [{ run: "r", event_id: "a", fate: "waiting" }, { run: "s", event_id: "a", fate: "taken" }];
  await keep.write(rows, { head: { run: "r", opening: {}, last: 2 } });
  await keep.write([{ run: "r", event_id: "a", fate: "taken" }]);
  assert.equal((await keep.head("r")).last, 2);
  assert.deepEqual(await keep.rows("r"), [{ run: "r", event_id: "a", fate: "taken" }]);
});
