// Making elements, and pictures that stand on buttons.

/**
 * @param {string} id
 * @returns {HTMLElement}
 */
export function by_id(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`no element ${id}`);
  return found;
}

/**
 * @param {HTMLElement} element
 * @param {Record<string, any>} attributes on... are listeners, true and false stand for themselves, null is left out
 * @param {any[]} children elements or text
 */
function furnish(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined) continue;
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (name === "checked" || name === "value" || name === "disabled" || name === "hidden") Object.assign(element, { [name]: value });
    else element.setAttribute(name, String(value));
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
}

/**
 * @param {string} tag "button.first" for a button of that class
 * @param {Record<string, any>} [attributes]
 * @param {...any} children
 * @returns {any}
 */
export function make(tag, attributes = {}, ...children) {
  const [name, ...classes] = tag.split(".");
  const element = document.createElement(name);
  if (classes.length > 0) element.className = classes.join(" ");
  if (name === "button") element.setAttribute("type", "button");
  furnish(element, attributes, children);
  return element;
}

/**
 * @param {string} tag
 * @param {Record<string, any>} [attributes]
 * @param {...any} children
 * @returns {any}
 */
export function svg(tag, attributes = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) if (value !== null) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/** @type {Record<string, string>} */
const outlines = {
  stop: "M3 4a1 1 0 011-1h12a1 1 0 011 1v12a1 1 0 01-1 1H4a1 1 0 01-1-1z",
  play: "M4 2.2v15.6L18 10z",
  note: "M9.6 2h1.3v13.6c0 1.6-1.8 2.9-3.8 2.9s-3.4-1-3.4-2.4 1.8-2.8 3.8-2.8c.8 0 1.5.2 2.1.5z",
  ear: "M3 7.5h3l4-4v13l-4-4H3z",
  plus: "M9 3h2v6h6v2h-6v6H9v-6H3V9h6z",
  save: "M9 2h2v8l3-3 1.4 1.4L10 13.8 4.6 8.4 6 7l3 3zM3 16h14v2H3z",
  repeat: "M2 3h3v14H2zM7 3h1.4v14H7zM13.7 7.5a1.7 1.7 0 11-3.4 0 1.7 1.7 0 013.4 0zM13.7 12.5a1.7 1.7 0 11-3.4 0 1.7 1.7 0 013.4 0z",
};
/** @type {Record<string, string>} */
const lines = {
  close: "M4 4l12 12M16 4L4 16",
  tick: "M4 10.5l4 4.5L16.5 4.5",
  ear: "M13 6.5a5 5 0 010 7M15.5 4a8.5 8.5 0 010 12",
};

/** @param {string} name */
export function icon(name) {
  const picture = svg("svg", { viewBox: "0 0 20 20", "aria-hidden": "true", class: `icon ${name}` });
  if (outlines[name]) picture.append(svg("path", { d: outlines[name] }));
  if (lines[name]) picture.append(svg("path", { d: lines[name], class: "stroke" }));
  return picture;
}

/**
 * Saves a file by the browser.
 * @param {string} name
 * @param {Blob} blob
 */
export function save_file(name, blob) {
  const link = URL.createObjectURL(blob);
  make("a", { href: link, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(link), 10000);
}
