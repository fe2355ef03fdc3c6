/**
 * JSON Merge Patch (RFC 7396): how an easier, a harder or a smaller form changes the game.
 * @param {any} target
 * @param {any} patch
 * @returns {any}
 */
export function mergePatch(target, patch) {
  if (!isObject(patch)) return patch;
  const merged = isObject(target) ? { ...target } : {};
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete merged[key];
    else merged[key] = mergePatch(merged[key], value);
  }
  return merged;
}

/** @param {unknown} value */
function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
