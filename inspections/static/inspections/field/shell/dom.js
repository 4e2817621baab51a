// Making elements without markup in strings.

/** `h("p", {class: "x", onclick: f}, "text", child, [more])`; null, false and undefined are left out. */
export function h(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) { continue; }
    if (name.startsWith("on")) { made.addEventListener(name.slice(2), value); }
    else if (name === "class") { made.className = value; }
    else if (name in made && typeof value === "boolean") { made[name] = value; }
    else { made.setAttribute(name, value); }
  }
  made.append(...standing(children));
  return made;
}

function standing(children) { return children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false); }

/** Put these in place of what the container holds; null, false and undefined are left out. */
export function fill(container, ...children) { container.replaceChildren(...standing(children)); }

/** A big button; while what it starts is under way it takes no second press. */
export function button(words, act, given = {}) {
  const made = h("button", { type: "button", ...given, class: `big ${given.class || ""}` }, words);
  made.addEventListener("click", async () => {
    if (made.getAttribute("aria-busy") === "true") { return; }
    made.setAttribute("aria-busy", "true");
    try { await act(made); } finally { made.removeAttribute("aria-busy"); }
  });
  return made;
}

export function link(words, address, given = {}) { return h("a", { href: address, ...given, class: `big ${given.class || ""}` }, words); }

/** Put what stands at the bottom of the page, within reach of one thumb. */
export function setActions(...made) { document.getElementById("actions").replaceChildren(...made.flat().filter(Boolean)); }

/** Sentences as a list, or nothing. */
export function sentences(list, given = {}) {
  return list && list.length ? h("ul", { class: "sentences", ...given }, list.map((each) => h("li", {}, each))) : null;
}
