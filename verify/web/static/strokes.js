// What a stroke over the board means for a layer: the places of givens that it passes. Points are rows and
// columns from the top left corner of the grid, as the board tells them.

import { nameOf } from "./cells.js";
import { pairOf } from "./layer_givens.js";

const NEAR = 0.3; // of a cell: a click as near to a border as this means the border
const TAKEN = 0.38; // of a cell: a drag takes the middles, or the corners, that it passes as near as this

const cellAt = ([down, right]) => [Math.floor(down) + 1, Math.floor(right) + 1];

/** The cells that a stroke passes. */
class OverCells {
  constructor(has) {
    this.has = has;
  }

  begin(point) {
    return this.go(point);
  }

  go(point) {
    const name = nameOf(cellAt(point));
    return this.has(name) ? name : null;
  }

  end() {
    return null;
  }
}

/** The pairs of neighbours that a stroke joins from middle to middle; a click at a border means that pair. */
class OverPairs {
  constructor(has) {
    this.has = has;
    this.at = null;
  }

  begin(point) {
    this.at = cellAt(point);
    this.first = point;
    this.drawn = false;
    return null;
  }

  go(point) {
    const cell = cellAt(point);
    const [down, right] = [point[0] - cell[0] + 0.5, point[1] - cell[1] + 0.5];
    if (Math.hypot(down, right) > TAKEN || !this.has(nameOf(cell)) || nameOf(cell) === nameOf(this.at)) return null;
    const [from, apart] = [this.at, Math.abs(cell[0] - this.at[0]) + Math.abs(cell[1] - this.at[1])];
    this.at = cell;
    this.drawn = true;
    return apart === 1 ? pairOf(nameOf(from), nameOf(cell)) : null;
  }

  end() {
    if (this.drawn) return null;
    const cell = cellAt(this.first);
    const beyond = besideAt(this.first);
    return beyond && this.has(nameOf(beyond)) ? pairOf(nameOf(cell), nameOf(beyond)) : null;
  }
}

/** The cell beyond the side of a cell to which a point is near; null in its middle and its corners. */
function besideAt(point) {
  const [row, column] = cellAt(point);
  const [down, right] = [point[0] - row + 1, point[1] - column + 1]
    .map((share) => (share < NEAR ? -1 : share > 1 - NEAR ? 1 : 0));
  return !down === !right ? null : [row + down, column + right];
}

/** The sides of cells along which a stroke goes from corner to corner; a click at a side means that side. */
class OverSides {
  constructor(has) {
    this.has = has;
  }

  begin(point) {
    this.first = point;
    this.drawn = false;
    this.at = cornerAt(point);
    return null;
  }

  go(point) {
    const corner = cornerAt(point);
    if (!corner || corner.join() === this.at?.join()) return null;
    const from = this.at;
    this.at = corner;
    this.drawn = true;
    if (!from || Math.abs(corner[0] - from[0]) + Math.abs(corner[1] - from[1]) !== 1) return null;
    const [down, right] = [Math.min(from[0], corner[0]), Math.min(from[1], corner[1])];
    return from[0] === corner[0]
      ? sideOf(this.has, [down, right + 1], [down + 1, right + 1], ["bottom", "top"])
      : sideOf(this.has, [down + 1, right], [down + 1, right + 1], ["right", "left"]);
  }

  end() {
    if (this.drawn) return null;
    const beyond = besideAt(this.first);
    if (!beyond) return null;
    const [one, other] = [cellAt(this.first), beyond].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    return sideOf(this.has, one, other, one[0] === other[0] ? ["right", "left"] : ["bottom", "top"]);
  }
}

function cornerAt(point) {
  const corner = point.map(Math.round);
  return Math.hypot(point[0] - corner[0], point[1] - corner[1]) <= TAKEN ? corner : null;
}

/** The place of the side between two cells, of which one need not be there; null if neither is. */
function sideOf(has, one, other, [ofOne, ofOther]) {
  const [first, second] = [nameOf(one), nameOf(other)];
  if (has(first) && has(second)) return pairOf(first, second);
  return has(first) ? `${first} ${ofOne}` : has(second) ? `${second} ${ofOther}` : null;
}

/** The place of a given at a cell in a direction: of a link, a pair or a side; null if there is none. */
export function placeBeside(kind, has, cell, [down, right]) {
  const beyond = [cell[0] + down, cell[1] + right];
  if (has(nameOf(beyond))) return pairOf(nameOf(cell), nameOf(beyond));
  const side = down ? (down < 0 ? "top" : "bottom") : right < 0 ? "left" : "right";
  return kind === "border-loop" ? `${nameOf(cell)} ${side}` : null;
}

/** What reads a stroke over a layer of a kind; `has(name)` tells whether there is such a cell. */
export function strokeOver(kind, has) {
  if (kind === "shading") return new OverCells(has);
  return kind === "border-loop" ? new OverSides(has) : new OverPairs(has);
}
