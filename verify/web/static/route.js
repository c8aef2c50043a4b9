// The solving route, a step at a time: its sentence, and a picture with premises ringed and
// conclusions struck.

import { enlargeable, fileName, make, save } from "./dom.js";

export function route(answer, { takeSteps, outline }) {
  const { steps, techniques, crux, verdict } = answer;
  if (verdict === "none") return [make("p", {}, "There is no route, because there is no solution.")];
  if (!steps.length) return [make("p", {}, "There is no step to show.")];
  const profile = Object.entries(techniques).map(([name, times]) => `${name} ${times}`).join(", ");
  const ending = answer.solved ? "They lead to the solution."
    : verdict === "multiple" ? "They lead no further, because there are several solutions."
      : "The time ran out before the solution was reached.";
  return [
    make("p", {}, `${steps.length} steps: ${profile}. ${ending}`),
    stepper(answer, crux),
    make("div", { class: "bar" },
      make("button", { type: "button", click: () => save(`${fileName(outline)}.steps`, answer.written, "text/plain") }, "Save the steps"),
      make("button", { type: "button", click: () => takeSteps(answer.written) }, "Edit and audit them")),
  ];
}

function stepper({ steps, pictures }, crux) {
  const number = make("output", {});
  const said = make("p", { class: "said", "aria-live": "polite" });
  const picture = make("div", { class: "step" });
  const slider = make("input", { type: "range", min: 1, max: steps.length, value: 1, "aria-label": "Step" });
  const go = (to) => {
    const at = Math.min(Math.max(to, 1), steps.length);
    const step = steps[at - 1];
    slider.value = at;
    slider.setAttribute("aria-valuetext", `step ${at} of ${steps.length}`);
    number.textContent = `Step ${at} of ${steps.length}${at - 1 === crux ? ", the crux" : ""}`;
    said.replaceChildren(make("strong", {}, `${step.technique}: `), step.text);
    const drawn = pictures[at - 1];
    if (drawn === null) picture.replaceChildren("There was no room for a picture of this step.");
    else picture.replaceChildren(enlargeable(drawn, `Picture of step ${at}.`));
  };
  const by = (way) => () => go(Number(slider.value) + way);
  slider.addEventListener("input", () => go(Number(slider.value)));
  go(1);
  return make("div", { class: "stepper" },
    make("div", { class: "bar" },
      make("button", { type: "button", click: by(-1) }, "Step back"),
      make("button", { type: "button", click: by(1) }, "Next step"),
      crux === null ? "" : make("button", { type: "button", click: () => go(crux + 1) }, "To the crux"),
      number),
    slider, said, picture);
}
