// The pack's drawings: shown safely, tapped for a place, moved over by the arrow keys, with the findings marked on them.
import { h, newName } from "./fields.js";

const SVG = "http://www.w3.org/2000/svg";
const NOT_SHOWN = "script, foreignObject, iframe, animate, set, animateTransform, animateMotion, use, image, a";
const MARGIN = 34;
const STEP_FT = 0.5;

/** The drawing as an element of this page without anything that could run or fetch; null where it is no SVG. */
export function safeSvg(text) {
  const parsed = new DOMParser().parseFromString(text || "", "image/svg+xml");
  const svg = parsed.documentElement;
  if (!svg || svg.localName !== "svg" || parsed.querySelector("parsererror")) return null;
  for (const bad of svg.querySelectorAll(NOT_SHOWN)) bad.remove();
  for (const element of [svg, ...svg.querySelectorAll("*")]) {
    for (const { name, value } of [...element.attributes]) {
      const fetches = /url\(\s*['"]?(?!#)/i.test(value) || (/href$/i.test(name) && !value.startsWith("#"));
      if (/^on/i.test(name) || name === "style" || fetches) element.removeAttribute(name);
    }
  }
  return document.importNode(svg, true);
}

const make = (tag, attributes, ...children) => {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
};

/** Zero, units per foot and reach in feet, from the drawing itself or from what the pack says beside it. */
function scaleOf(svg, beside, reachFt) {
  const read = (name) => Number.parseFloat(svg.getAttribute(name));
  const x0 = Number.isFinite(read("data-x0")) ? read("data-x0") : beside?.x0;
  const perFt = read("data-px-per-ft") || beside?.px_per_ft;
  const reach = read("data-reach-ft") || reachFt;
  return Number.isFinite(x0) && perFt > 0 && reach > 0 ? { x0, perFt, reach } : null;
}

/** Names inside a drawing are made unique, because the same drawing may stand on the page twice. */
function renamed(svg) {
  const stem = newName("d");
  for (const element of svg.querySelectorAll("[id]")) element.id = `${stem}-${element.id}`;
  for (const element of [svg, ...svg.querySelectorAll("*")]) {
    for (const { name, value } of [...element.attributes]) {
      if (name === "aria-labelledby") element.setAttribute(name, value.split(/\s+/).map((id) => `${stem}-${id}`).join(" "));
      else if (value.includes("url(#")) element.setAttribute(name, value.replaceAll("url(#", `url(#${stem}-`));
    }
  }
}

/** The notes under a drawing stand beside it in full size; only the drawing itself is made larger. */
function notesTaken(svg, top, whole) {
  const notes = [...svg.querySelectorAll("text.note")];
  const words = notes.map((note) => note.textContent.trim()).join(" ");
  const first = Math.min(...notes.map((note) => Number.parseFloat(note.getAttribute("y")) - 16));
  for (const note of notes) note.remove();
  return { words, height: notes.length && first > top ? first - top : whole };
}

/**
 * A drawing with a cross to place. `onPlace(ft, {member: {role, number}, bar: number})` hears a tap or an arrow key.
 * Gives {element, words: what the drawing itself notes, set(ft), mark([{ft, lengthFt, label, isGrave, isNow}])}, or null where the pack has no such drawing.
 */
export function placedDrawing({ text, scale, reachFt, label, from, onPlace }) {
  const svg = safeSvg(text);
  const measure = svg && scaleOf(svg, scale, reachFt);
  if (!svg || !measure) return null;
  renamed(svg);
  const { x0, perFt, reach } = measure;
  const [, top, , whole] = (svg.getAttribute("viewBox") || "0 0 760 300").split(/[\s,]+/).map(Number);
  const { words, height } = notesTaken(svg, top, whole);
  svg.setAttribute("viewBox", `${x0 - MARGIN} ${top} ${reach * perFt + 2 * MARGIN} ${height}`);
  for (const name of ["width", "height", "role", "aria-labelledby"]) svg.removeAttribute(name);
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("focusable", "false");
  const cross = make("g", { class: "cross", visibility: "hidden" },
    make("line", { x1: 0, x2: 0, y1: top, y2: top + height }), make("circle", { cx: 0, cy: top + height / 2, r: 9 }));
  const marks = make("g", { class: "marks" });
  svg.append(marks, cross);
  const box = h("div", { class: "drawing-box" }, svg);
  let at = null;
  const set = (ft) => {
    at = ft;
    cross.setAttribute("visibility", ft === null || ft === undefined ? "hidden" : "visible");
    if (ft !== null && ft !== undefined) cross.setAttribute("transform", `translate(${x0 + ft * perFt} 0)`);
    if (!onPlace) return;
    box.setAttribute("aria-valuenow", String(ft ?? 0));
    box.setAttribute("aria-valuetext", ft === null || ft === undefined ? "no place chosen" : `${ft} ft ${from}`);
  };
  if (onPlace) {
    const names = { class: "drawing-box is-placed", role: "slider", tabindex: "0", "aria-label": label, "aria-valuemin": "0", "aria-valuemax": String(reach) };
    for (const [name, value] of Object.entries(names)) box.setAttribute(name, value);
    const place = (ft, more) => {
      const within = Math.round(Math.min(Math.max(ft, 0), reach) * 10) / 10;
      set(within);
      onPlace(within, more);
    };
    box.addEventListener("click", (event) => {
      const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      place((point.x - x0) / perFt, { ...whatIsAt(svg, point), isTap: true });
    });
    box.addEventListener("keydown", (event) => {
      const by = { ArrowRight: STEP_FT, ArrowUp: STEP_FT, ArrowLeft: -STEP_FT, ArrowDown: -STEP_FT, PageUp: 5, PageDown: -5 }[event.key];
      const ends = { Home: 0, End: reach }[event.key];
      if (by === undefined && ends === undefined) return;
      event.preventDefault();
      place(ends ?? (at ?? reach / 2) + by * (event.shiftKey ? 10 : 1), {});
    });
  }
  set(null);
  const mark = (all) => marks.replaceChildren(...all.map((one) => markOf(one, { x0, perFt, y: top + 26 })));
  return { element: box, words, set, mark };
}

/** A triangle with the finding's number over its place; filled with a bar under it where it is grave, ringed where it is open now. */
function markOf({ ft, lengthFt, label, isGrave, isNow }, { x0, perFt, y }) {
  const x = x0 + (ft + (lengthFt || 0) / 2) * perFt;
  const group = make("g", { class: `mark${isGrave ? " is-grave" : ""}${isNow ? " is-now" : ""}` });
  if (lengthFt) group.append(make("path", { class: "reach", d: `M${x0 + ft * perFt} ${y + 22} v-6 h${lengthFt * perFt} v6` }));
  const words = make("text", { x, y: y + 1, "text-anchor": "middle" });
  words.textContent = label;
  group.append(make("path", { class: "sign", d: `M${x - 15} ${y - 18} h30 v22 l-15 13 l-15 -13 Z` }), words);
  return group;
}

/** The member or bar under a tap on a drawing: members of one role are counted from the left. */
function whatIsAt(svg, point) {
  const found = {};
  const bars = [...svg.querySelectorAll("circle.bar[data-bar]")].map((dot) => [Math.hypot(Number(dot.getAttribute("cx")) - point.x, Number(dot.getAttribute("cy")) - point.y), Number(dot.dataset.bar)]);
  const nearest = bars.sort((one, other) => one[0] - other[0])[0];
  if (nearest && nearest[0] < 40) found.bar = nearest[1];
  for (const role of ["stringer", "web", "panel", "lamination"]) {
    const all = [...svg.querySelectorAll(`.${role}`)].map(reachOf).filter(Boolean).sort((one, other) => one[0] - other[0]);
    if (!all.length) continue;
    const gaps = all.map(([from, to]) => Math.max(from - point.x, point.x - to, 0));
    const number = gaps.indexOf(Math.min(...gaps));
    found.member = { role, number: number + 1, count: all.length };
    break;
  }
  return found;
}

function reachOf(shape) {
  const read = (name) => Number.parseFloat(shape.getAttribute(name));
  if (shape.localName === "rect") return [read("x"), read("x") + read("width")];
  if (shape.localName === "ellipse") return [read("cx") - read("rx"), read("cx") + read("rx")];
  return null;
}
