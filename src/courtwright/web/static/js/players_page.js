/** The players' screen: score, clock, who is on and next, and a random start cue with a sound. Nobody's errors. */

import { playedMs } from "./live/clock.js";
import { ServerClock } from "./live/device.js";
import { mark, sideOf } from "./live/view/people.js";
import { clockText } from "./live/view/words.js";
import { byId, h, setText } from "./view/dom.js";

const AGAIN_MS = 1000;
const CUE_HZ = 880;
const CUE_S = 0.35;
const LEAST_WAIT_MS = 1500;
const MOST_WAIT_MS = 5000;

const server = new ServerClock(localStorage);
/** @type {any} */ let shown = null;
/** @type {AudioContext | null} */ let sound = null;

const clock = h("p", { class: "clock" });
const score = h("div", { class: "score" });
const on = h("section", { class: "on" });
const next = h("section", { class: "next" });
const where = h("p", { class: "where" });
const away = h("p", { class: "away", hidden: true }, "waiting for the server");
const cue = h("button", { type: "button", class: "cue", onclick: cueSoon }, "start cue");

function tone() {
  sound ??= new AudioContext();
  const tone = sound.createOscillator();
  const gain = sound.createGain();
  tone.frequency.value = CUE_HZ;
  gain.gain.setValueAtTime(0.5, sound.currentTime);
  gain.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + CUE_S);
  tone.connect(gain).connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + CUE_S);
}

/** After a time nobody can foresee: a tone, a flash, a word. */
function cueSoon() {
  sound ??= new AudioContext(); // a browser lets sound begin only in a tap
  cue.disabled = true;
  setText(cue, "ready …");
  setTimeout(
    () => {
      tone();
      setText(cue, "go");
      document.body.classList.add("go");
      setTimeout(() => {
        document.body.classList.remove("go");
        cue.disabled = false;
        setText(cue, "start cue");
      }, 1200);
    },
    LEAST_WAIT_MS + Math.random() * (MOST_WAIT_MS - LEAST_WAIT_MS),
  );
}

/** @param {Record<string, string>} figures @param {boolean} defends */
function side(figures, defends) {
  return h("ul", { class: defends ? "defend" : "attack" }, ...sideOf(figures, defends).map((figure) => h("li", {}, mark(figure), figures[figure] || "nobody")));
}

/** @param {Record<string, string>} figures @param {boolean} defends */
function coming(figures, defends) {
  const unknown = sideOf(figures, defends).every((figure) => !figures[figure]);
  return unknown ? h("p", { class: defends ? "defend" : "attack" }, "who wins") : side(figures, defends);
}

function draw() {
  if (!shown) return;
  setText(where, `${shown.game} · ${shown.basket} · possession ${shown.possession}`);
  score.replaceChildren(
    ...shown.score_of.map((/** @type {string} */ whose, /** @type {number} */ index) =>
      h("p", { class: whose }, h("span", {}, whose), h("strong", {}, shown.score[index])),
    ),
  );
  on.replaceChildren(h("h2", {}, shown.frozen ? "stopped: listen" : `now: ${shown.start}`), side(shown.on, false), side(shown.on, true));
  next.replaceChildren(h("h2", {}, `next: ${shown.next_start}`), coming(shown.next, false), coming(shown.next, true));
  document.body.classList.toggle("over", Boolean(shown.over));
}

function tick() {
  if (!shown) return;
  const played = playedMs(shown.clock, server.ms);
  setText(clock, clockText(shown.minutes ? Math.max(0, shown.minutes * 60_000 - played) : played));
}

function listen() {
  const begun = performance.now();
  const stream = new EventSource(`/api/runs/${byId("floor").dataset.run}/screen/stream`);
  stream.addEventListener("screen", (event) => {
    shown = JSON.parse(event.data);
    server.hear(shown.server_ms, Math.min(1000, performance.now() - begun));
    draw();
    tick();
  });
  stream.addEventListener("time", (event) => server.hear(JSON.parse(event.data).server_ms, 1000));
  stream.onopen = () => (away.hidden = true);
  stream.onerror = () => {
    stream.close();
    away.hidden = false;
    setTimeout(listen, AGAIN_MS);
  };
}

byId("floor").replaceChildren(h("header", {}, where, cue), score, clock, h("div", { class: "turns" }, on, next), away);
setInterval(tick, 200);
listen();
