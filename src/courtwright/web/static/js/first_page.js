/** The first start: the demo club, or an empty house. */

import { problemsIn, request } from "./net/api.js";
import { byId } from "./view/dom.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

async function loadDemo() {
  const answer = await request("POST", "/api/demo");
  if (answer.ok) location.assign("/games");
  else byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

startPrefs();
byId("demo").addEventListener("click", loadDemo);
