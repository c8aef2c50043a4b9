// Which section stands in which column. They are moved, not only painted elsewhere, so that keyboard and
// screen reader meet them in the order in which they are seen.

const two = matchMedia("(min-width: 56rem)");
const three = matchMedia("(min-width: 88rem)");

function layOut() {
  const columns = three.matches ? { left: ["sound", "file"], right: ["rests", "ask"] }
    : two.matches ? { left: ["sound", "ask"], right: ["rests", "file"] }
      : { left: ["sound"], right: ["rests", "ask", "file"] };
  for (const [column, sections] of Object.entries(columns)) {
    document.getElementById(column).append(...sections.map((id) => document.getElementById(id)));
  }
}

for (const width of [two, three]) width.addEventListener("change", layOut);
layOut();
