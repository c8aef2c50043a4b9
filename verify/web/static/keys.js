// Keys that are not the board's own: letters press the buttons that show them, from anywhere but a field.

import { wayOf } from "./steps.js";

const FIELDS = "input:not([type=checkbox]), textarea, select, form, dialog, #start";

/**
 * `pressed(key)` does what a letter or Escape means. Letters can be kept to the board, where the box
 * `kept` is not checked: some people speak to their machine, which types letters (WCAG 2.2, 2.1.4).
 */
export function listenToKeys({ kept, board, pressed, stepper }) {
  document.addEventListener("keydown", (event) => {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target.closest(FIELDS)) return;
    const steps = event.target === document.body ? stepper() : null;
    if (steps && wayOf(event) !== null) {
      event.preventDefault();
      steps.focus({ preventScroll: true });
      steps.dispatchEvent(new KeyboardEvent("keydown", { key: event.key, cancelable: true }));
    } else if (event.key === "Escape") {
      if (event.target === document.body) pressed(event.key);
      board.focus();
    } else if (/^[a-z]$/i.test(event.key) && (kept.checked || event.target.closest(".stepper"))) {
      if (pressed(event.key.toUpperCase())) event.preventDefault();
    }
  });
}

/** Undo and redo by the keys that do so everywhere, except in a form, which has its own. */
export function listenToUndo(history) {
  document.addEventListener("keydown", (event) => {
    const plain = event.target.closest("form, #given");
    if (plain || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    history.step(key === "y" || event.shiftKey ? 1 : -1);
  });
}
