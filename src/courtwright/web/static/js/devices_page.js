/** The coach's page of devices: let one in, name it, give it another role, let it in no more. */

import { whenText } from "./model/words.js";
import { get, problemsIn, request } from "./net/api.js";
import { byId, h, rows, say, setText } from "./view/dom.js";
import { JoinCode } from "./view/join_code.js";
import { startPrefs } from "./view/prefs.js";
import { problemList } from "./view/problems.js";

/** @import { DeviceRow } from "./types.js" */
/** @import { Answer } from "./net/api.js" */

const LOOK_MS = 3000;
const code = new JoinCode();
/** @type {string[]} */
let roles = [];

/** @param {Answer} answer */
function complain(answer) {
  byId("status").replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
}

async function show() {
  const answer = await get("/api/devices");
  if (!answer.ok) return complain(answer);
  byId("status").replaceChildren();
  roles = answer.body.roles;
  /** @type {DeviceRow[]} */
  const devices = answer.body.devices;
  const welcome = devices.filter((device) => device.welcome);
  showWelcome(welcome);
  showGone(devices.filter((device) => !device.welcome));
  byId("none").hidden = welcome.length > 0;
  byId("shut").hidden = answer.body.lan;
  code.element.hidden = !answer.body.lan;
  code.offer(roles, answer.body.codes);
}

const showWelcome = rows(byId("list"), row);

/** One line, told anew which device it is at every look. */
function row() {
  /** @type {DeviceRow} */
  let device;
  const name = h("input", { type: "text", maxlength: 40, "aria-label": "name of the device" });
  const role = h("select", {});
  const seen = h("p", { class: "seen" });
  const revoke = h("button", { type: "button" }, "Revoke");
  const sure = h("button", { type: "button", class: "danger", hidden: true }, "Let in no more");
  const keep = h("button", { type: "button", hidden: true }, "Keep");
  const element = h("li", {}, name, role, seen, h("div", { class: "buttons" }, revoke, sure, keep));
  const ask = (/** @type {boolean} */ asking) => {
    [revoke.hidden, sure.hidden, keep.hidden] = [asking, !asking, !asking];
    (asking ? sure : revoke).focus();
  };
  name.addEventListener("change", () => change(device.id, { name: name.value }));
  role.addEventListener("change", () => change(device.id, { role: role.value }));
  revoke.addEventListener("click", () => ask(true));
  keep.addEventListener("click", () => ask(false));
  sure.addEventListener("click", async () => {
    const answer = await request("DELETE", `/api/devices/${device.id}`);
    ask(false);
    if (!answer.ok) return complain(answer);
    say(`${device.name} is not let in any more`);
    return show();
  });
  const update = (/** @type {DeviceRow} */ now) => {
    if (device && device.id !== now.id) [revoke.hidden, sure.hidden, keep.hidden] = [false, true, true];
    device = now;
    if (!role.options.length) role.replaceChildren(...roles.map((word) => h("option", { value: word }, word)));
    if (document.activeElement !== name) name.value = now.name;
    if (document.activeElement !== role) role.value = now.role;
    role.setAttribute("aria-label", `role of ${now.name}`);
    revoke.setAttribute("aria-label", `Revoke ${now.name}`);
    sure.setAttribute("aria-label", `Let ${now.name} in no more`);
    setText(seen, `${now.me ? "this device · " : ""}${seenText(now)}`);
  };
  return { element, update };
}

/** @param {DeviceRow} device */
function seenText(device) {
  return device.seen_at ? `seen ${whenText(device.seen_at, new Date())}` : "not seen yet";
}

/**
 * @param {string} id
 * @param {{ name?: string, role?: string }} what
 */
async function change(id, what) {
  const answer = await request("PATCH", `/api/devices/${id}`, { json: what });
  if (!answer.ok) return complain(answer);
  say("kept");
  return show();
}

/** @param {DeviceRow[]} gone */
function showGone(gone) {
  const line = (/** @type {DeviceRow} */ device) =>
    h(
      "li",
      {},
      h("span", {}, device.name),
      h("span", {}, device.role),
      h("span", {}, device.revoked_at ? `since ${whenText(device.revoked_at, new Date())}` : "must join again"),
    );
  byId("gone").hidden = gone.length === 0;
  byId("gone")
    .querySelector("ul")
    ?.replaceChildren(...gone.map(line));
}

function start() {
  startPrefs();
  byId("code").replaceChildren(code.element);
  code.changed = show;
  show();
  // whoever joins by the code that stands there is to be seen at once
  setInterval(() => (document.visibilityState === "visible" && code.open ? show() : undefined), LOOK_MS);
}

start();
