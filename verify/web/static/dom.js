// Elements with text. Text is only ever set as text, so that no puzzle can bring markup in.

/** An element: `make("button", {type: "button", class: "small"}, "text", otherElement)`. */
export function make(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined && value !== null) {
      element.setAttribute(name, value);
    }
  }
  element.append(...inside.filter((one) => one !== null && one !== undefined).map(safe));
  return element;
}

/** Text from a puzzle on one line, with characters that would act on the page written out: `\u{202e}`. */
export function shown(text) {
  return text.replaceAll(/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Zl}\p{Zp}]/gu, (letter) =>
    "\u200c\u200d".includes(letter) ? letter : `\\u{${letter.codePointAt(0).toString(16)}}`);
}

function safe(inside) {
  return typeof inside === "string" ? inside.split("\n").map(shown).join("\n") : inside;
}

/** A picture that the server drew, as an element of this page. */
export function pictureOf(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return document.importNode(parsed, true);
}

/** A key, shown beside its button; screen readers use `aria-keyshortcuts`. */
export function key(name) {
  return make("kbd", { "aria-hidden": "true" }, name);
}

/** The name of a puzzle's files, without an ending: its title in small letters. */
export function fileName(outline) {
  const bare = (outline?.title ?? "").toLowerCase().replaceAll(/['’]/g, "");
  return bare.replaceAll(/[^\p{L}\p{N}]+/gu, "-").replaceAll(/^-+|-+$/g, "") || "puzzle";
}

/** Hand a file to the reader. */
export function save(name, data, type) {
  const link = make("a", { href: URL.createObjectURL(new Blob([data], { type })), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

export function bytesOf(base64) {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}
