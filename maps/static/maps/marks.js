// Marks of the county sheet: a deck symbol, a plate, a flag. Built node by node: no markup in strings, no inline style.
"use strict";
window.countyMarks = (() => {
  const SVG = "http://www.w3.org/2000/svg";

  function node(name, attributes = {}, children = []) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) { made.setAttribute(key, value); }
    made.append(...children);
    return made;
  }

  function svg(name, attributes, children = []) {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) { made.setAttribute(key, value); }
    made.append(...children);
    return made;
  }

  function deck(properties) {
    const use = svg("use", { href: `#${properties.symbol}`, x: -20, y: -12, width: 40, height: 24 });
    const turned = svg("g", { transform: `rotate(${properties.turn_deg})` }, [use]);
    return svg("svg", { class: "deck", viewBox: "-20 -20 40 40", "aria-hidden": "true" }, [turned]);
  }

  function flag() {
    const path = svg("path", { d: "M1 0L11 6L1 12Z" });
    return svg("svg", { class: "flag", viewBox: "0 0 12 12", "aria-hidden": "true" }, [path]);
  }

  function plate(properties) {
    const closed = properties.restriction === "closed" ? " closed" : "";
    const awaited = properties.sign_awaited ? " awaited" : "";
    return node("span", { class: `sign-plate${closed}${awaited}`, "aria-hidden": "true" }, [properties.plate]);
  }

  function body(properties) {
    const parts = [deck(properties)];
    if (properties.plate) { parts.push(plate(properties)); }
    if (properties.late) { parts.push(flag()); }
    return node("div", { class: "deck-body" }, parts);
  }

  // A marker that answers to mouse, touch, Enter and space.
  function marker(feature, icon, words, choose) {
    const [lon, lat] = feature.geometry.coordinates;
    // A closing lies on top, then a posting: neither may be hidden under a neighbour.
    const zIndexOffset = { closed: 2000, posted: 1000 }[feature.properties.restriction] || 0;
    const made = L.marker([lat, lon], { icon, keyboard: true, riseOnHover: true, zIndexOffset });
    made.on("click", () => choose(feature));
    made.on("add", () => {
      const element = made.getElement();
      element.setAttribute("aria-label", words);
      element.setAttribute("role", "button");
      element.addEventListener("keydown", (event) => {
        if (event.key !== "Enter" && event.key !== " ") { return; }
        event.preventDefault();
        event.stopPropagation();
        choose(feature);
      });
    });
    return made;
  }

  function structureMarker(feature, choose) {
    const icon = L.divIcon({
      className: "deck-mark", html: body(feature.properties), iconSize: [40, 40], iconAnchor: [20, 20],
    });
    return marker(feature, icon, feature.properties.words, choose);
  }

  function groupMarker(feature, choose) {
    const { count, closed, words } = feature.properties;
    const side = Math.round(26 + 7 * Math.log10(count + 1));
    const icon = L.divIcon({
      className: `group-mark${closed ? " has-closed" : ""}`,
      html: node("span", {}, [String(count)]), iconSize: [side, side],
    });
    return marker(feature, icon, words, choose);
  }

  function line(text, className) {
    return node("li", className ? { class: className } : {}, [text]);
  }

  // The card of the chosen structure: what stands on the sheet, in words, and the way to its page.
  function card(feature) {
    const p = feature.properties;
    const built = [p.system, p.max_span_ft === null ? "" : `longest span ${p.max_span_ft} ft`, p.year_built || ""];
    const lowest = p.lowest_rating === null ? "" : `, lowest rating ${p.lowest_rating}`;
    const factor = p.least_factor === null ? "" : `Least legal rating factor ${p.least_factor}${p.governing ? `, ${p.governing}` : ""}`;
    const due = p.due_in ? `${p.due_in}: ${p.due_words || "work owed"}` : "No owed work on record";
    const list = node("ul", {}, [
      line(built.filter(Boolean).join(", ")),
      line(`${p.condition}${lowest}`),
      line(p.restriction_words),
      ...(factor ? [line(factor)] : []),
      line(due, p.late ? "late-word" : ""),
    ]);
    const link = node("a", { href: p.address }, [`Open ${p.number}`]);
    return node("div", { class: "chosen-card" }, [node("h3", {}, [`${p.number}, ${p.title}`]), list, node("p", {}, [link])]);
  }

  return { structureMarker, groupMarker, card };
})();
