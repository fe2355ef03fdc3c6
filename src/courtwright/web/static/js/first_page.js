/** The first start: the demo club, or an empty house; beside them a first drawing to scale. */

import { emptyGame } from "./model/changes.js";
import { get, problemsIn, request } from "./net/api.js";
import { byId, drawing } from "./view/dom.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

async function loadDemo() {
  const answer = await request("POST", "/api/demo");
  if (answer.ok) location.assign("/games");
  else byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

async function draw() {
  const words = await get("/api/vocabulary");
  if (!words.ok) return;
  const [[rules, court]] = Object.entries(words.body.courts);
  const answer = await request("POST", "/api/draw", { json: { document: emptyGame(court, rules) } });
  const picture = drawing(answer.ok ? answer.body : "");
  if (picture) byId("picture").replaceChildren(picture);
}

startPrefs();
byId("demo").addEventListener("click", loadDemo);
draw();
