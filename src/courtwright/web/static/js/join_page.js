/** The way in for another device: the code from the address or typed by hand, and what the device is called. */

import { problemsIn, request } from "./net/api.js";
import { byId } from "./view/dom.js";
import { remember, remembered, startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

/** @import { Answer } from "./net/api.js" */

const NAME = "device-name";

/** @param {Answer} answer */
function complain(answer) {
  byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

/**
 * @param {HTMLInputElement} code
 * @param {HTMLInputElement} name
 */
async function join(code, name) {
  const answer = await request("POST", "/api/join", { json: { code: code.value, name: name.value } });
  if (!answer.ok) return complain(answer), code.focus();
  remember(NAME, name.value);
  location.replace(answer.body.home);
}

async function leave() {
  const answer = await request("POST", "/api/leave");
  if (answer.ok) location.assign("/");
  else complain(answer);
}

function start() {
  startPrefs();
  document.getElementById("leave")?.addEventListener("click", leave);
  const form = document.getElementById("form");
  if (!form) return;
  const code = /** @type {HTMLInputElement} */ (byId("code"));
  const name = /** @type {HTMLInputElement} */ (byId("name"));
  name.value = remembered(NAME);
  const scanned = () => {
    if (location.hash.length < 2) return;
    code.value = location.hash.slice(1, 21);
    history.replaceState(null, "", location.pathname); // nobody who borrows the device finds the code in its history
    name.focus();
  };
  addEventListener("hashchange", scanned);
  scanned();
  form.addEventListener("submit", (event) => (event.preventDefault(), join(code, name)));
}

start();
