/** The outline of a part of a grid, with the steps of its cells smoothed away. */

/** @import { Point } from "../types.js" */

const PASSES = 4;

/**
 * Closed lines round the cells that are inside, in cells from the grid's corner. What lies on the grid's edge stays there.
 * @param {number} columns
 * @param {number} rows
 * @param {(row: number, column: number) => boolean} inside
 * @returns {Point[][]}
 */
export function outlines(columns, rows, inside) {
  const within = (/** @type {number} */ row, /** @type {number} */ column) =>
    row >= 0 && column >= 0 && row < rows && column < columns && inside(row, column);
  const onEdge = (/** @type {Point} */ [x, y]) => x === 0 || y === 0 || x === columns || y === rows;
  return loops(edges(columns, rows, within)).map((loop) => smoothed(loop, onEdge));
}

/**
 * From each corner of a cell along every side that has no inside behind it, clockwise.
 * @param {number} columns
 * @param {number} rows
 * @param {(row: number, column: number) => boolean} within
 * @returns {Map<string, Point[]>}
 */
function edges(columns, rows, within) {
  /** @type {Map<string, Point[]>} */
  const next = new Map();
  const add = (/** @type {Point} */ from, /** @type {Point} */ to) =>
    void next.set(`${from}`, [...(next.get(`${from}`) ?? []), to]);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (!within(row, column)) continue;
      if (!within(row - 1, column)) add([column, row], [column + 1, row]);
      if (!within(row, column + 1)) add([column + 1, row], [column + 1, row + 1]);
      if (!within(row + 1, column)) add([column + 1, row + 1], [column, row + 1]);
      if (!within(row, column - 1)) add([column, row + 1], [column, row]);
    }
  }
  return next;
}

/**
 * @param {Map<string, Point[]>} next
 * @returns {Point[][]}
 */
function loops(next) {
  /** @type {Point[][]} */
  const found = [];
  for (const start of next.keys()) {
    while (next.get(start)?.length) {
      /** @type {Point[]} */
      const loop = [];
      let key = start;
      for (let to = next.get(key)?.pop(); to; to = next.get(key)?.pop()) {
        loop.push(to);
        key = `${to}`;
      }
      found.push(loop);
    }
  }
  return found;
}

/**
 * Steps become slopes through the middles of their sides, slopes are then evened out.
 * @param {Point[]} loop
 * @param {(point: Point) => boolean} onEdge
 * @returns {Point[]}
 */
function smoothed(loop, onEdge) {
  /** @type {{ at: Point, fixed: boolean }[]} */
  let line = loop.flatMap((point, index) => {
    const to = loop[(index + 1) % loop.length];
    const fixed = onEdge(point);
    const middle = { at: mean(point, to), fixed: false };
    return [...(fixed ? [{ at: point, fixed }] : []), ...(fixed && onEdge(to) ? [] : [middle])];
  });
  for (let pass = 0; pass < PASSES; pass++) {
    line = line.map((one, index) => {
      const before = line[(index + line.length - 1) % line.length].at;
      const after = line[(index + 1) % line.length].at;
      return one.fixed ? one : { at: mean(one.at, mean(before, after)), fixed: false };
    });
  }
  return line.map(({ at }) => at);
}

/**
 * @param {Point} one
 * @param {Point} other
 * @returns {Point}
 */
function mean(one, other) {
  return [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2];
}
