// Cells as rows and columns, from 1, and by their names.

export const MOVES = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

export const nameOf = ([row, column]) => `r${row}c${column}`;

/** The cell of a name; null if it is not one. */
export function cellOf(name) {
  const found = /^r(\d+)c(\d+)$/.exec(name ?? "");
  return found && [Number(found[1]), Number(found[2])];
}

/** The cells strictly between two on a straight run; none if the run is not straight. */
export function between(from, to) {
  const [down, right] = [to[0] - from[0], to[1] - from[1]];
  const steps = Math.max(Math.abs(down), Math.abs(right));
  if (down && right && Math.abs(down) !== Math.abs(right)) return [];
  return Array.from({ length: Math.max(steps - 1, 0) }, (_, at) => (
    [from[0] + Math.sign(down) * (at + 1), from[1] + Math.sign(right) * (at + 1)]));
}
