/**
 * Walks a page: every colour that is shown, with what lies behind it. Given to the browser as one function.
 * Gives back { tokens: {name: rgba}, seen: [{kind, rgba, layers: [rgba, lowest first], where}], bare: [where] }.
 */
(names) => {
  const canvas = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });
  const known = new Map();
  const rgba = (colour) => {
    if (!known.has(colour)) {
      if (!CSS.supports("color", colour)) throw new Error(`no colour: ${colour}`);
      canvas.clearRect(0, 0, 1, 1);
      canvas.fillStyle = colour;
      canvas.fillRect(0, 0, 1, 1);
      const [red, green, blue, alpha] = canvas.getImageData(0, 0, 1, 1).data;
      known.set(colour, [red, green, blue, alpha / 255]);
    }
    return known.get(colour);
  };
  const probe = document.body.appendChild(document.createElement("i"));
  const tokens = Object.fromEntries(names.map((name) => {
    probe.style.color = `var(--${name})`;
    return [name, rgba(getComputedStyle(probe).color)];
  }));
  probe.remove();

  const seen = new Map();
  const where = (e) => `${e.tagName.toLowerCase()}${e.id ? "#" + e.id : ""}${[...e.classList].map((one) => "." + one).join("")} "${(e.textContent || e.value || "").trim().slice(0, 30)}"`;
  const note = (kind, colour, layers, e) => {
    const found = rgba(colour);
    if (!found[3]) return;
    const key = JSON.stringify([kind, found, layers]);
    if (!seen.has(key)) seen.set(key, { kind, rgba: found, layers, where: where(e) });
  };
  /** Backgrounds from an element outwards until one lets nothing through, lowest first. */
  const behind = (e) => {
    const layers = [];
    for (let up = e; up; up = up.parentElement) {
      const found = rgba(getComputedStyle(up).backgroundColor);
      if (found[3]) layers.unshift(found);
      if (found[3] === 1) return layers;
    }
    return [[255, 255, 255, 1], ...layers];
  };
  const shown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !e.closest(".unseen") && !e.closest(":disabled");

  for (const one of document.querySelectorAll("details")) one.open = true;
  const bare = [];
  const focused = new Set();
  for (const e of document.querySelectorAll("body, body *:not(script, svg *)")) {
    if (!shown(e)) continue;
    const style = getComputedStyle(e);
    if ([...e.childNodes].some((one) => one.nodeType === 3 && one.data.trim()) || ["INPUT", "SELECT", "TEXTAREA"].includes(e.tagName)) note("text", style.color, behind(e), e);
    for (const pseudo of ["::before", "::after"]) {
      const own = getComputedStyle(e, pseudo);
      if (/["(].*\S.*[")]/.test(own.content) && own.content !== '""' && own.display !== "none") note("text", own.color, behind(e), e);
    }
    if (e.placeholder) note("text", getComputedStyle(e, "::placeholder").color, behind(e), e);
    const native = ["radio", "checkbox", "file", "hidden"].includes(e.type);   // drawn by the browser, not by us
    if (!native && e.parentElement) for (const side of ["Top", "Right", "Bottom", "Left"]) {
      if (style[`border${side}Style`] === "none" || parseFloat(style[`border${side}Width`]) === 0) continue;
      const control = e.matches("input, select, textarea, .btn");
      note(control ? "border of a control" : "border", style[`border${side}Color`], behind(e.parentElement), e);
      const own = rgba(style.backgroundColor);
      if (control && own[3] && String(own) !== String(rgba(style[`border${side}Color`]))) note("border of a control", style[`border${side}Color`], behind(e), e);
    }
    if (e.matches("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']") && !focused.has(e.tagName + e.className)) {
      focused.add(e.tagName + e.className);
      e.focus({ focusVisible: true, preventScroll: true });
      const ring = getComputedStyle(e);
      const cloth = e.matches("#work, .mirror-grid *") ? document.querySelector(".stage") : null;   // the cloth wears its grid's ring
      const host = e.type === "file" ? getComputedStyle(e.closest("label")) : cloth ? getComputedStyle(cloth) : ring;   // the label wears its ring
      const outside = (cloth ? host : ring).boxShadow.match(/^(\w+\(.*?\)) 0px 0px 0px/);
      if (host.outlineStyle !== "solid" || parseFloat(host.outlineWidth) < 2) bare.push(where(e));
      else note("focus", host.outlineColor, outside ? [rgba(outside[1])] : behind(e), e);
      e.blur();
    }
  }

  for (const svg of document.querySelectorAll("svg")) {
    if (!shown(svg)) continue;
    const shapes = [...svg.querySelectorAll("path, rect, circle, ellipse, line, polygon, text, image")];
    const boxes = shapes.map((one) => one.getBoundingClientRect());
    shapes.forEach((shape, place) => {
      if (shape.tagName === "image") return;
      const style = getComputedStyle(shape);
      if (style.display === "none") return;
      const [x, y] = [(boxes[place].left + boxes[place].right) / 2, (boxes[place].top + boxes[place].bottom) / 2];
      let layers = behind(svg);
      let onCloth = false;
      shapes.slice(0, place).forEach((under, other) => {
        const box = boxes[other];
        if (box.left > x || box.right < x || box.top > y || box.bottom < y) return;
        if (under.tagName === "image") onCloth = !svg.classList.contains("swatch");   // a swatch's picture is its own yarn
        else if (under.tagName === "rect" && getComputedStyle(under).fill !== "none") [layers, onCloth] = [[...layers, rgba(getComputedStyle(under).fill)], false];
      });
      if (onCloth) return;
      const mark = shape.closest(".swatch g");
      if ((svg.classList.contains("swatch") || svg.closest(".true-square")) && !mark) return;   // over cloth, in two tones
      const kind = mark ? "mark" : shape.tagName === "text" ? "text" : "drawing";
      if (style.fill !== "none") note(kind, style.fill, layers, shape);
      if (style.stroke !== "none" && parseFloat(style.strokeWidth) > 0) note(kind, style.stroke, layers, shape);
    });
  }
  return { tokens, seen: [...seen.values()], bare };
}
