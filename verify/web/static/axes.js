// What a symmetry of the clues leaves in place, drawn over the board: the line of a mirror, the point of a turn.

const SVG = "http://www.w3.org/2000/svg";

/** The ends of a mirror's line in shares of the board; null for a turn. */
function mirror(pattern) {
  return {
    "left-right mirror": [0.5, 0, 0.5, 1],
    "top-bottom mirror": [0, 0.5, 1, 0.5],
    "falling diagonal mirror": [0, 0, 1, 1],
    "rising diagonal mirror": [0, 1, 1, 0],
  }[pattern] ?? null;
}

/** Draw these symmetries, by their names, over the picture that is on the board. */
export function drawAxes(patterns) {
  const drawing = document.querySelector("#picture svg");
  const { x, y, width, height } = drawing.querySelector(".walls").getBBox();
  const group = document.createElementNS(SVG, "g");
  group.setAttribute("class", "axes");
  const add = (tag, attributes) => {
    const element = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    group.append(element);
  };
  for (const pattern of patterns) {
    const line = mirror(pattern);
    if (line) {
      const [x1, y1, x2, y2] = line;
      add("line", { x1: x + x1 * width, y1: y + y1 * height, x2: x + x2 * width, y2: y + y2 * height });
    }
  }
  const turns = patterns.filter((pattern) => !mirror(pattern)).length;
  const middle = { cx: x + width / 2, cy: y + height / 2 };
  for (let ring = 0; ring < turns; ring += 1) add("circle", { ...middle, r: (0.048 + 0.013 * ring) * width });
  // Below the lines of the grid and the digits.
  drawing.querySelector(".walls").before(group);
}
