// Which section stands in which column. They are moved, not only painted elsewhere, so that keyboard and
// screen reader meet them in the order in which they are seen. In one column the right one follows the left.

const three = matchMedia("(min-width: 88rem)");

function layOut() {
  const columns = three.matches ? { left: ["sound", "file"], right: ["rests", "ask"] }
    : { left: ["sound", "ask"], right: ["rests", "file"] };
  for (const [column, sections] of Object.entries(columns)) {
    document.getElementById(column).append(...sections.map((id) => document.getElementById(id)));
  }
}

three.addEventListener("change", layOut);
layOut();
