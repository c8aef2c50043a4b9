// The verdict in words, and what it rests on.

import { make } from "./dom.js";

const HEADLINES = {
  unique: "One solution.",
  multiple: "More than one solution.",
  none: "No solution.",
  undecided: "Not settled yet.",
};

const MOST_NAMED = 12;

export function showVerdict(place, outline, verdict, off) {
  place.className = verdict.verdict;
  place.replaceChildren(make("strong", {}, HEADLINES[verdict.verdict]), ` ${detail(outline, verdict)}`,
    make("span", { class: "without" }, off ? ` With ${off} switched off.` : ""));
}

function detail(outline, verdict) {
  if (verdict.verdict === "undecided") return "This takes longer than a moment …";
  if (verdict.verdict !== "multiple") return "";
  const differs = verdict.differs;
  if (2 * differs.length > outline.cells.length) {
    return `Two of them differ in ${differs.length} of ${outline.cells.length} cells.`;
  }
  const named = differs.slice(0, MOST_NAMED).join(" ");
  return `Two of them differ in ${named}${differs.length > MOST_NAMED ? " and more" : ""}.`;
}

/** What cannot all hold, each clue with a switch of its own. */
export function showConflict(place, found, outline, toggle) {
  if (!found.conflict?.length) {
    place.replaceChildren();
    return;
  }
  const parts = found.conflict.map((name) => {
    const given = /^(r\d+c\d+)=/.exec(name);
    if (given && outline.givens.some(({ cell }) => cell === given[1])) {
      return make("li", {}, make("button", { type: "button", class: "small ringed",
        click: () => toggle("givens", given[1]) }, `${name} off`));
    }
    if (outline.rules.some((rule) => rule.name === name)) {
      return make("li", {}, make("button", { type: "button", class: "small ringed",
        click: () => toggle("rules", name) }, `${name} off`));
    }
    return make("li", {}, name);
  });
  place.replaceChildren(make("p", {}, "These cannot all hold:"), make("ul", { class: "premises" }, ...parts));
}
