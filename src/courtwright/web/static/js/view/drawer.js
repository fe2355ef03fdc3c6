/** Asks the server for the drawing of what the board shows; only the latest answer counts. */

import { get, request } from "../net/api.js";
import { drawing } from "./dom.js";
import { prefs } from "./prefs.js";

/** @import { Subject } from "./subject.js" */
/** @import { Answer } from "../net/api.js" */

export class Drawer {
  /** @type {Record<string, unknown> | null} the row whose drive is drawn */ drive = null;
  #asked = 0;

  /**
   * @param {Subject} subject
   * @param {boolean} kept whether the server's own version is better than nothing
   * @returns {Promise<{ ok: boolean, drawn: SVGSVGElement | null } | null>} nothing where something newer was asked
   */
  async ask(subject, kept) {
    const asked = ++this.#asked;
    const answer = (await this.#driven(subject)) ?? (await this.#plain(subject));
    if (asked !== this.#asked) return null;
    const drawn = answer.ok ? answer.body : kept ? await this.#kept(subject) : "";
    return { ok: answer.ok, drawn: drawing(drawn) };
  }

  /**
   * @param {Subject} subject
   * @returns {Promise<Answer | null>}
   */
  async #driven(subject) {
    if (!this.drive) return null;
    const json = { ...this.drive, moment: subject.moment(subject.places()), drive: true, feet: prefs.feet };
    const answer = await request("POST", "/api/draw/moment", { json });
    return answer.ok ? answer : null;
  }

  /** @param {Subject} subject */
  #plain(subject) {
    const { url, json } = subject.drawing();
    return request("POST", url, { json: { ...json, feet: prefs.feet } });
  }

  /** @param {Subject} subject */
  async #kept(subject) {
    const answer = await get(subject.picture);
    return answer.ok ? answer.body : "";
  }
}
