/** Open a document for editing: read it, take over drafts of tabs that are gone, watch the others. */

import { Editor } from "../editor.js";
import { get, request } from "./api.js";
import { DraftBox } from "./drafts.js";
import { Saver } from "./saver.js";

/** @import { Game, Kept, MomentDocument, Squad } from "../types.js" */
/** @import { Answer } from "./api.js" */

/**
 * @template T
 * @param {string} name
 * @param {string} url
 * @param {string} field what the document is called in requests and answers
 * @param {T | null} blank what stands where the server has nothing yet
 * @param {(document: T) => Promise<string | null>} hashOf the hash the server would give a document
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<T> | Answer>} the answer where it could not be read
 */
async function open(name, url, field, blank, hashOf, signal) {
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
  const saver = new Saver(kept(first.body), { drafts, load, put, hashOf });
  saver.loose = first.body.loose ?? [];
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
  const hashOf = async (/** @type {Game} */ document) => {
    const answer = await request("POST", "/api/check", { json: { document } });
    return answer.ok ? answer.body.hash : null;
  };
  return open(`game/${id}`, `/api/games/${id}`, "document", /** @type {Game | null} */ (null), hashOf, signal);
}

/**
 * @param {string} game
 * @param {string} id
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<MomentDocument> | Answer>}
 */
export function openMoment(game, id, signal) {
  const hashOf = async (/** @type {MomentDocument} */ moment) => {
    const answer = await request("POST", "/api/read", { json: { moment, dragging: true } });
    return answer.ok ? answer.body.moment_hash : null;
  };
  const blank = /** @type {MomentDocument | null} */ (null);
  return open(`moment/${id}`, `/api/games/${game}/moments/${id}`, "document", blank, hashOf, signal);
}

/**
 * @param {Squad} blank
 * @param {AbortSignal} signal
 * @returns {Promise<Editor<Squad> | Answer>}
 */
export function openSquad(blank, signal) {
  return open("squad", "/api/squad", "squad", blank, async () => null, signal);
}
