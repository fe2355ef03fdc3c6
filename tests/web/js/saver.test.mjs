import assert from "node:assert/strict";
import { test } from "node:test";

import { DraftBox } from "../../../src/courtwright/web/static/js/net/drafts.js";
import { Saver } from "../../../src/courtwright/web/static/js/net/saver.js";

/** A browser's storage, in memory; its keys are its own properties, as `Object.keys` sees them there. */
class Memory {
  setItem(key, value) {
    this[key] = value;
  }

  getItem(key) {
    return this[key] ?? null;
  }

  removeItem(key) {
    delete this[key];
  }
}

const DOWN = { status: 0, ok: false, body: null };

/** A server that keeps every revision, and can be down, or lose its answers. */
class Server {
  revisions = ["first"];
  down = false;
  mute = false;
  asked = [];

  get kept() {
    return { document: this.revisions.at(-1), revision: this.revisions.length, hash: `hash ${this.revisions.length}` };
  }

  load = async () => (this.down ? null : this.kept);

  put = async (document, base) => {
    this.asked.push(document);
    await new Promise((rest) => setTimeout(rest, 2));
    if (this.down) return DOWN;
    if (document === "bad")
      return { status: 422, ok: false, body: { problems: [{ place: "name", what: "is bad", mend: "Mend it." }] } };
    if (base !== this.revisions.length) return { status: 409, ok: false, body: { current: this.revisions.length } };
    this.revisions.push(document);
    return this.mute ? DOWN : { status: 200, ok: true, body: { revision: this.kept.revision, hash: this.kept.hash } };
  };
}

function desk(t, server, memory = new Memory(), tab = "me") {
  const drafts = new DraftBox(memory, "game/1", tab);
  const saver = new Saver(server.kept, { drafts, load: server.load, put: server.put, delay_ms: 100_000 });
  t.after(() => {
    saver.close();
    drafts.close();
  });
  return { drafts, saver, memory };
}

const draftIn = (memory) => Object.values(memory).map((text) => JSON.parse(text));

test("an edit is on the device before it is sent, and leaves it once it is kept", async (t) => {
  const server = new Server();
  const { saver, memory } = desk(t, server);
  saver.edit("second");
  assert.equal(draftIn(memory)[0].document, "second");
  assert.deepEqual(server.asked, []);
  await saver.flush();
  assert.deepEqual(server.revisions, ["first", "second"]);
  assert.equal(saver.state, "saved");
  assert.deepEqual(draftIn(memory), []);
});

test("requests go one at a time, and the newest edit always arrives", async (t) => {
  const server = new Server();
  const { saver } = desk(t, server);
  saver.edit("a");
  const first = saver.flush();
  saver.edit("b");
  saver.edit("c");
  await Promise.all([first, saver.flush(), saver.flush()]);
  assert.deepEqual(server.revisions, ["first", "a", "c"]);
  assert.ok(saver.clean);
});

test("while the server is down the edit stays here, and arrives later", async (t) => {
  const server = new Server();
  const { saver, memory } = desk(t, server);
  server.down = true;
  saver.edit("second");
  await saver.flush();
  assert.equal(saver.state, "offline");
  assert.equal(draftIn(memory)[0].document, "second");
  server.down = false;
  await saver.flush();
  assert.deepEqual(server.revisions, ["first", "second"]);
});

test("a lost answer is not taken for somebody else's change", async (t) => {
  const server = new Server();
  const { saver } = desk(t, server);
  server.mute = true;
  saver.edit("second");
  await saver.flush();
  server.mute = false;
  saver.edit("third");
  await saver.flush();
  await saver.flush(); // the first of the two learns what had arrived
  assert.equal(saver.state, "saved");
  assert.deepEqual(server.revisions, ["first", "second", "third"]);
});

test("what the server refuses stays in the draft with its problems", async (t) => {
  const server = new Server();
  const { saver, memory } = desk(t, server);
  saver.edit("bad");
  await saver.flush();
  assert.equal(saver.state, "problems");
  assert.equal(saver.problems[0].place, "name");
  assert.equal(draftIn(memory)[0].document, "bad");
  saver.edit("good");
  await saver.flush();
  assert.deepEqual([saver.state, saver.problems], ["saved", []]);
});

test("keeping mine after a conflict leaves both in the history", async (t) => {
  const server = new Server();
  const { saver } = desk(t, server);
  server.revisions.push("theirs");
  saver.edit("mine");
  await saver.flush();
  assert.equal(saver.state, "conflict");
  assert.equal(saver.theirs.document, "theirs");
  await saver.keepMine();
  assert.deepEqual(server.revisions, ["first", "theirs", "mine"]);
});

test("taking theirs after a conflict leaves both in the history too", async (t) => {
  const server = new Server();
  const { saver } = desk(t, server);
  server.revisions.push("theirs");
  saver.edit("mine");
  await saver.flush();
  assert.equal(await saver.takeTheirs(), "theirs");
  await saver.flush();
  assert.deepEqual(server.revisions, ["first", "theirs", "mine", "theirs"]);
  assert.equal(saver.state, "saved");
});

test("the draft of a tab that is gone is taken over, that of a living one is left alone", async (t) => {
  const server = new Server();
  const memory = new Memory();
  server.down = true;
  const gone = desk(t, server, memory, "gone");
  gone.saver.edit("of the tab that is gone");
  gone.saver.close();
  gone.drafts.close();
  const alive = desk(t, server, memory, "alive");
  alive.saver.edit("of the living tab");
  const { drafts, saver } = desk(t, server, memory, "new");
  const orphans = await drafts.orphans();
  assert.deepEqual(
    orphans.map((draft) => draft.document),
    ["of the tab that is gone"],
  );
  server.down = false;
  saver.adopt(orphans[0]);
  assert.deepEqual(
    draftIn(memory)
      .map((draft) => draft.tab)
      .sort(),
    ["alive", "new"],
  );
  await saver.flush();
  assert.deepEqual(server.revisions, ["first", "of the tab that is gone"]);
});

test("a browser that keeps nothing is told apart", (t) => {
  const refusing = new Memory();
  refusing.setItem = () => {
    throw new Error("full");
  };
  const { saver } = desk(t, new Server(), refusing);
  saver.edit("second");
  assert.equal(saver.keepsDrafts, false);
});
