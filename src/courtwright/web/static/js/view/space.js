/** Who is first where, as washes under the figures: the attack lighter, the defence darker, a line between them. */

import { onDrawing } from "./overlay.js";
import { s } from "./dom.js";

/** @import { CourtLines, SpaceMap } from "../types.js" */

/**
 * @param {SpaceMap} map
 * @param {CourtLines} court
 */
export function spaceLayer(map, court) {
  const { columns, rows, cell_m, figures, owner } = map;
  const defends = figures.map((figure) => figure.startsWith("X"));
  const side = (/** @type {number} */ row, /** @type {number} */ column) => defends[owner[row * columns + column]];
  const [left, top] = onDrawing([map.left_m, map.end_line_m], court);
  /** @type {Record<"attack" | "defend" | "between", string[]>} */
  const paths = { attack: [], defend: [], between: [] };
  for (let row = 0; row < rows; row++) {
    let from = 0;
    for (let column = 1; column <= columns; column++) {
      if (column < columns && side(row, column) === side(row, from)) continue;
      const place = `M${round(left + from * cell_m)} ${round(top + row * cell_m)}`;
      const width = round((column - from) * cell_m);
      paths[side(row, from) ? "defend" : "attack"].push(`${place}h${width}v${cell_m}h${-width}z`);
      if (column < columns) paths.between.push(`M${round(left + column * cell_m)} ${round(top + row * cell_m)}v${cell_m}`);
      from = column;
    }
    for (let column = 0; row > 0 && column < columns; column++) {
      if (side(row, column) !== side(row - 1, column))
        paths.between.push(`M${round(left + column * cell_m)} ${round(top + row * cell_m)}h${cell_m}`);
    }
  }
  const parts = Object.entries(paths).map(([name, drawn]) => s("path", { class: name, d: drawn.join("") }));
  return s("g", { class: "space" }, ...parts);
}

/** @param {number} value */
const round = (value) => Math.round(value * 1000) / 1000;
