/** Changes to a nested document that leave the old one as it was. */

/** @typedef {(string | number)[]} Path */

/**
 * @param {any} node
 * @param {Path} path
 * @returns {any}
 */
export function getAt(node, path) {
  return path.reduce((inner, key) => inner?.[key], node);
}

/**
 * @template T
 * @param {T} node
 * @param {Path} path
 * @param {unknown} value
 * @returns {T}
 */
export function setAt(node, path, value) {
  if (path.length === 0) return /** @type {T} */ (value);
  const [key, ...rest] = path;
  const holder = /** @type {any} */ (node);
  const inner = setAt(holder?.[key], rest, value);
  if (inner === holder?.[key]) return node;
  const copy = Array.isArray(holder) ? [...holder] : { ...holder };
  copy[key] = inner;
  return /** @type {T} */ (copy);
}

/**
 * Put an item at the end of the list at `path`.
 * @template T
 * @param {T} node
 * @param {Path} path
 * @param {unknown} item
 * @returns {T}
 */
export function appendAt(node, path, item) {
  return setAt(node, path, [...getAt(node, path), item]);
}

/**
 * Take the item at `index` out of the list at `path`.
 * @template T
 * @param {T} node
 * @param {Path} path
 * @param {number} index
 * @returns {T}
 */
export function removeAt(node, path, index) {
  /** @type {unknown[]} */
  const list = getAt(node, path);
  return setAt(
    node,
    path,
    list.filter((_, at) => at !== index),
  );
}

/**
 * @param {any} one
 * @param {any} other
 * @returns {boolean} whether two documents say the same, whatever the order of their keys
 */
export function same(one, other) {
  if (Object.is(one, other)) return true;
  if (typeof one !== "object" || typeof other !== "object" || one === null || other === null) return false;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const keys = Object.keys(one);
  return keys.length === Object.keys(other).length && keys.every((key) => key in other && same(one[key], other[key]));
}
