/** Who is first where, as washes under the lines: the attack lighter, the defence darker, a thin line between them. */

import { outlines } from "../model/outline.js";
import { s } from "./dom.js";
import { onDrawing } from "./overlay.js";

/** @import { CourtLines, Point, SpaceMap } from "../types.js" */

/**
 * @param {SpaceMap} map
 * @param {CourtLines} court
 */
export function spaceLayer(map, court) {
  const { columns, rows, cell_m, figures, owner } = map;
  const defends = figures.map((figure) => figure.startsWith("X"));
  const [left, top] = onDrawing([map.left_m, map.end_line_m], court);
  const place = (/** @type {Point} */ [x, y]) => `${round(left + x * cell_m)} ${round(top + y * cell_m)}`;
  const ways = outlines(columns, rows, (row, column) => defends[owner[row * columns + column]]);
  const d = ways.map((points) => `M${points.map(place).join("L")}Z`).join("");
  const floor = `M${place([0, 0])}H${round(left + columns * cell_m)}V${round(top + rows * cell_m)}H${round(left)}Z`;
  return s(
    "g",
    { class: "space" },
    s("path", { class: "attack", "fill-rule": "evenodd", d: floor + d }),
    s("path", { class: "defend", "fill-rule": "evenodd", d }),
  );
}

/** @param {number} value */
const round = (value) => Math.round(value * 1000) / 1000;
