/** A code for a role: chosen, made with one tap, shown large with its picture until it is too old. */

import { problemsIn, request } from "../net/api.js";
import { drawing, h, newId, say, setText } from "./dom.js";
import { problemList } from "./problems.js";

/** @import { CodeMade, OpenCode } from "../types.js" */

const TICK_MS = 1000;

/** @param {number} left_ms */
function leftText(left_ms) {
  const seconds = Math.max(0, Math.ceil(left_ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

export class JoinCode {
  #role = h("select", { id: newId("role") });
  #make = h("button", { type: "submit", class: "main" }, "Make a code");
  #shown = h("div", { class: "code-shown", hidden: true });
  #trouble = h("div", {});
  #note = h("p", { class: "hint" });
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #clock;
  /** Called when a code was made or taken back. */
  changed = () => {};

  constructor() {
    const form = h(
      "form",
      { class: "choose" },
      h("div", { class: "line" }, h("label", { for: this.#role.id }, "it joins as"), this.#role),
      h("p", { class: "buttons" }, this.#make),
    );
    form.addEventListener("submit", (event) => (event.preventDefault(), this.#ask()));
    this.element = h("div", {}, form, this.#trouble, this.#shown, this.#note);
  }

  /** Whether a code stands there that still works. */
  get open() {
    return this.#clock !== undefined;
  }

  /**
   * @param {string[]} roles
   * @param {OpenCode[]} codes
   */
  offer(roles, codes) {
    if (!this.#role.options.length) {
      this.#role.replaceChildren(...roles.map((role) => h("option", { value: role, selected: role === "assistant" }, role)));
    }
    const others = codes.map((code) => code.role).filter((role) => !this.open || role !== this.#shown.dataset.role);
    const text = others.length
      ? `A code for ${others.join(", ")} still works, but is not shown again: a new one takes its place.`
      : "";
    setText(this.#note, text);
  }

  async #ask() {
    const answer = await request("POST", "/api/devices/codes", { json: { role: this.#role.value } });
    if (!answer.ok) {
      this.#trouble.replaceChildren(problemList(document.createDocumentFragment(), problemsIn(answer)));
      return;
    }
    this.#trouble.replaceChildren();
    this.#show(answer.body);
    this.changed();
  }

  /** @param {CodeMade} made */
  #show(made) {
    const picture = made.qr ? drawing(made.qr) : null;
    picture?.setAttribute("role", "img");
    picture?.setAttribute("aria-label", "the address and the code, to scan");
    const left = h("span", { class: "left" });
    const once = made.role === "coach" ? " It works once." : "";
    const close = h("button", { type: "button", onclick: () => this.#close(made.role) }, "Take it back");
    this.#shown.replaceChildren(
      h("p", { class: "letters" }, made.code),
      picture ? h("div", { class: "qr" }, picture) : "",
      h("p", {}, `Lets a device in as ${made.role} for another `, left, `.${once}`),
      made.link ? h("p", { class: "hint link" }, `By hand: ${made.link.split("#")[0]}`) : "",
      h("p", { class: "buttons" }, close),
    );
    this.#shown.dataset.role = made.role;
    delete this.#shown.dataset.over;
    this.#shown.hidden = false;
    setText(this.#make, "Make a new code");
    const over = Date.now() + made.lasts_s * 1000;
    const tick = () => {
      setText(left, leftText(over - Date.now()));
      if (Date.now() >= over) this.#over();
    };
    clearInterval(this.#clock);
    this.#clock = setInterval(tick, TICK_MS);
    tick();
    say(`Code ${[...made.code].join(" ")}`);
  }

  /** It stays there, struck through, so that one sees why nobody gets in. */
  #over() {
    clearInterval(this.#clock);
    this.#clock = undefined;
    this.#shown.dataset.over = "";
    this.changed();
  }

  /** @param {string} role */
  async #close(role) {
    await request("DELETE", `/api/devices/codes/${role}`);
    this.#over();
    this.#shown.hidden = true;
    this.#make.focus();
  }
}
