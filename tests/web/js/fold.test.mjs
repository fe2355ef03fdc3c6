import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { fold } from "../../../src/courtwright/web/static/js/live/fold.js";

const { openings, cases } = JSON.parse(readFileSync(process.env.FOLD_CASES ?? "tests/data/fold-cases.json", "utf8"));

test("the fold in the browser gives the state that the server's gives", () => {
  assert.ok(cases.length > 0);
  for (const { name, opening, facts, state } of cases) {
    const found = JSON.parse(JSON.stringify(fold(openings[opening], facts)));
    assert.deepEqual(found, state, name);
    assert.deepEqual(JSON.parse(JSON.stringify(fold(openings[opening], [...facts].reverse()))), state, `${name}, backwards`);
  }
});
