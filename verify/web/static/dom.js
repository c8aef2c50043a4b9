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
  element.append(...inside.filter((one) => one !== null && one !== undefined));
  return element;
}

/** A picture that the server drew, as an element of this page. */
export function pictureOf(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return document.importNode(parsed, true);
}

/** Hand a file to whoever is looking. */
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
