/** Every request to the server goes through here. Nothing is thrown: an answer says what happened. */

/** @import { Problem } from "../types.js" */

/**
 * `status` 0 means that the server could not be reached.
 * @typedef {{ status: number, ok: boolean, body: any }} Answer
 * @typedef {{ json?: unknown, text?: string, signal?: AbortSignal, keepalive?: boolean }} Sent
 */

const PATIENCE_MS = 20_000;

/**
 * @param {string} method
 * @param {string} url
 * @param {Sent} [sent]
 * @returns {Promise<Answer>}
 */
export async function request(method, url, { json, text, signal, keepalive } = {}) {
  /** @type {RequestInit} */
  const options = { method, keepalive, signal: signal ?? AbortSignal.timeout(PATIENCE_MS), headers: {} };
  if (json !== undefined) {
    options.body = JSON.stringify(json);
    options.headers = { "Content-Type": "application/json" };
  } else if (text !== undefined) {
    options.body = text;
    options.headers = { "Content-Type": "text/plain; charset=utf-8" };
  }
  try {
    const response = await fetch(url, options);
    return { status: response.status, ok: response.ok, body: await read(response) };
  } catch {
    return { status: 0, ok: false, body: null };
  }
}

/** @param {Response} response */
async function read(response) {
  const type = response.headers.get("Content-Type") ?? "";
  if (!type.includes("json")) return response.text();
  return response.json();
}

/** @param {string} url @param {AbortSignal} [signal] */
export const get = (url, signal) => request("GET", url, { signal });

/**
 * The problems an answer carries; an answer without any still says what went wrong.
 * @param {Answer} answer
 * @returns {Problem[]}
 */
export function problemsIn(answer) {
  if (answer.ok) return answer.body?.problems ?? [];
  if (answer.status === 0) {
    return [
      {
        place: "",
        what: "the server does not answer",
        mend: "Is Courtwright still running? Your work is kept in this browser.",
      },
    ];
  }
  const told = answer.body?.problems;
  if (Array.isArray(told) && told.length) return told;
  return [
    { place: "", what: `the server answered ${answer.status}`, mend: "Try again; if it stays, restart Courtwright." },
  ];
}
