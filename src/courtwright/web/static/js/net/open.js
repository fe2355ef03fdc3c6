/** Open a document for editing: read it, take over drafts of tabs that are gone, watch the others. */

import { Editor } from "../editor.js";
import { get, request } from "./api.js";
import { DraftBox } from "./drafts.js";
import { Saver } from "./saver.js";

/** @import { Game, Kept, Squad } from "../types.js" */
/** @import { Answer } from "./api.js" */

/**
 * @template T
 * @param {string} name
 * @param {string} url
 * @param {string} field what the document is called in requests and answers
 * @param {T | null} blank what stands where the server has nothing yet
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<T> | Answer>} the answer where it could not be read
 */
async function open(name, url, field, blank, signal) {
  const kept = (/** @type {any} */ body) =>
    /** @type {Kept<T>} */ ({ document: body[field] ?? blank, revision: body.revision, hash: body.hash ?? "" });
  const load = async () => {
    const answer = await get(url);
    return answer.ok ? kept(answer.body) : null;
  };
  const first = await get(url, signal);
  if (!first.ok) return first;
  /** @type {DraftBox<T>} */
  const drafts = new DraftBox(localStorage, name);
  const put = (/** @type {T} */ document, /** @type {number} */ base, /** @type {boolean} */ keepalive) =>
    request("PUT", url, { json: { [field]: document, base }, keepalive });
  const hashOf = async (/** @type {T} */ document) => {
    const answer = field === "document" ? await request("POST", "/api/check", { json: { document } }) : null;
    return answer?.ok ? answer.body.hash : null;
  };
  const saver = new Saver(kept(first.body), { drafts, load, put, hashOf });
  const editor = new Editor(kept(first.body), saver, drafts, { name, load, signal });
  await editor.restore();
  return editor;
}

/**
 * @param {string} id
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<Game> | Answer>}
 */
export function openGame(id, signal) {
  return open(`game/${id}`, `/api/games/${id}`, "document", /** @type {Game | null} */ (null), signal);
}

/**
 * @param {Squad} blank
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<Squad> | Answer>}
 */
export function openSquad(blank, signal) {
  return open("squad", "/api/squad", "squad", blank, signal);
}
