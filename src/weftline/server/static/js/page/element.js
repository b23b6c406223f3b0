/** Makes an element in one call. */

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, string | number | boolean | EventListener>} [about] attributes; `onclick` and such are listened to; a false one is left out
 * @param {...(Node | string)} within
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function element(tag, about = {}, ...within) {
  const found = document.createElement(tag);
  for (const [name, value] of Object.entries(about)) {
    if (typeof value === "function") found.addEventListener(name.slice(2), value);
    else if (value === true) found.setAttribute(name, "");
    else if (value !== false) found.setAttribute(name, String(value));
  }
  found.append(...within);
  return found;
}

/**
 * The swatch of a yarn wearing its mark.
 * @param {{ colour: string, drawing: string }} yarn
 * @param {string} ink
 * @param {number} [size]
 * @returns {SVGSVGElement}
 */
export function swatchOf({ colour, drawing }, ink, size = 24) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("class", "swatch");
  svg.setAttribute("width", `${size}`);
  svg.setAttribute("height", `${size}`);
  svg.setAttribute("viewBox", "0 0 28 28");
  svg.setAttribute("aria-hidden", "true");
  const ground = document.createElementNS(space, "rect");
  for (const [name, value] of Object.entries({ x: ".5", y: ".5", width: "27", height: "27", rx: "6", fill: colour, stroke: "#000", "stroke-opacity": ".55" })) {
    ground.setAttribute(name, value);
  }
  const mark = document.createElementNS(space, "g");
  mark.setAttribute("transform", "translate(8 8)");
  mark.style.color = ink;
  const drawn = new DOMParser().parseFromString(`<svg xmlns="${space}">${drawing}</svg>`, "image/svg+xml").documentElement;
  mark.append(...Array.from(drawn.childNodes, (node) => document.importNode(node, true)));
  svg.append(ground, mark);
  return svg;
}
