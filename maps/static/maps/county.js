// The county drawn: lines and structures come from this site only; there is no base map to fetch.
"use strict";
(() => {
  const box = document.getElementById("county-map");
  if (!box || !window.L) { return; }
  const note = document.getElementById("map-note");
  const chosenBox = document.getElementById("chosen");
  const STYLES = {
    township: { color: "#b7b6a8", weight: 1 },
    road: { color: "#8b8f8a", weight: 1.4 },
    stream: { color: "#56b4e9", weight: 2 },
    outline: { color: "#1c2831", weight: 2.5 },
  };
  const NEAR_PX = 34; // marks closer than this cover each other

  const map = L.map(box, {
    maxZoom: 18, minZoom: 3, zoomSnap: 0.25, attributionControl: false, preferCanvas: true, scrollWheelZoom: false,
    worldCopyJump: true,
  });
  L.control.scale({ imperial: true, metric: false, maxWidth: 160, position: "bottomright" }).addTo(map);
  // The wheel turns the page until the map is in use.
  map.on("focus", () => map.scrollWheelZoom.enable());
  map.on("blur", () => map.scrollWheelZoom.disable());
  map.createPane("lines").style.zIndex = 350;
  const pen = L.canvas({ pane: "lines", padding: 0.5 });
  const grid = L.layerGroup().addTo(map);
  const lines = L.layerGroup().addTo(map);
  const marks = L.layerGroup().addTo(map);

  let chosenId = null;
  let known = new Map(); // feature id -> { feature, marker }
  let seenWhole = null; // bounds for which every mark is already drawn
  let hasLines = false;
  let underway = null;
  let drawnZoom = 0;

  const firstBounds = (box.dataset.bounds || "").split(",").map(Number);
  if (firstBounds.length === 4) {
    const [west, south, east, north] = firstBounds;
    map.fitBounds([[south, west], [north, east < west ? east + 360 : east]], { maxZoom: 14 });
  } else {
    map.setView([39, -98], 4);
  }

  function bboxOf(bounds) {
    const wrap = (lon) => ((((lon + 180) % 360) + 360) % 360) - 180;
    const wide = bounds.getEast() - bounds.getWest() >= 360;
    const edges = [
      wide ? -180 : wrap(bounds.getWest()), Math.max(-90, bounds.getSouth()),
      wide ? 180 : wrap(bounds.getEast()), Math.min(90, bounds.getNorth()),
    ];
    return edges.map((edge) => edge.toFixed(5)).join(",");
  }

  async function layer(address, query, signal) {
    const answer = await fetch(`${address}?${query}`, { signal, credentials: "same-origin" });
    if (!answer.ok) {
      const plain = (answer.headers.get("Content-Type") || "").startsWith("text/plain");
      throw new Error(plain ? await answer.text() : `The server answered ${answer.status}.`);
    }
    return answer.json();
  }

  function choose(feature) {
    for (const { marker } of known.values()) { marker.getElement()?.classList.remove("is-chosen"); }
    chosenId = feature.id;
    known.get(feature.id)?.marker.getElement()?.classList.add("is-chosen");
    chosenBox.replaceChildren(window.countyMarks.card(feature));
    chosenBox.scrollIntoView({ block: "nearest" });
  }

  function lookCloser(feature) {
    const [west, south, east, north] = feature.bbox;
    const before = map.getZoom();
    box.focus({ preventScroll: true }); // the group's own mark is about to go
    map.fitBounds([[south, west], [north, east]], { maxZoom: 16, padding: [40, 40] });
    if (map.getZoom() <= before) { map.setView([(south + north) / 2, (west + east) / 2], before + 1); }
  }

  // The marker that had the keyboard's focus keeps it when the marks are drawn anew.
  function drawMarks(collection) {
    const focused = [...known].find(([, held]) => held.marker.getElement() === document.activeElement)?.[0];
    marks.clearLayers();
    known = new Map();
    for (const feature of collection.features) {
      if (!feature.geometry) { continue; }
      const marker = collection.grouped
        ? window.countyMarks.groupMarker(feature, lookCloser)
        : window.countyMarks.structureMarker(feature, choose);
      marker.addTo(marks);
      if (!collection.grouped) { known.set(feature.id, { feature, marker }); }
    }
    fitMarks();
    if (focused !== undefined) { known.get(focused)?.marker.getElement()?.focus({ preventScroll: true }); }
    const held = known.get(chosenId);
    if (held) { choose(held.feature); }
  }

  // Where a quarter of the marks in view would cover a neighbour, all are drawn small.
  function fitMarks() {
    const view = map.getBounds();
    const places = [...known.values()].map(({ marker }) => marker.getLatLng()).filter((place) => view.contains(place))
      .map((place) => map.latLngToLayerPoint(place));
    const near = places.filter((a) => places.some((b) => a !== b && Math.hypot(a.x - b.x, a.y - b.y) < NEAR_PX));
    box.classList.toggle("is-crowded", near.length * 4 > places.length);
  }

  function drawLines(collection) {
    lines.clearLayers();
    hasLines = collection.features.length > 0;
    const drawn = L.geoJSON(collection, {
      interactive: false, renderer: pen, style: (feature) => STYLES[feature.properties.kind] || STYLES.road,
    });
    const order = Object.keys(STYLES);
    const parts = drawn.getLayers().sort((a, b) => order.indexOf(a.feature.properties.kind) - order.indexOf(b.feature.properties.kind));
    for (const part of parts) {
      lines.addLayer(part);
    }
    drawGrid();
  }

  // Where no lines are loaded, a plain grid of degrees lies under the drawing.
  function drawGrid() {
    grid.clearLayers();
    if (hasLines) { return; }
    const bounds = map.getBounds();
    const width = bounds.getEast() - bounds.getWest();
    const step = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10].find((size) => width / size <= 14) || 20;
    const style = { color: "#dddbcf", weight: 1, interactive: false, renderer: pen };
    for (let lon = Math.ceil(bounds.getWest() / step) * step; lon <= bounds.getEast(); lon += step) {
      L.polyline([[bounds.getSouth(), lon], [bounds.getNorth(), lon]], style).addTo(grid);
    }
    for (let lat = Math.ceil(bounds.getSouth() / step) * step; lat <= bounds.getNorth(); lat += step) {
      L.polyline([[lat, bounds.getWest()], [lat, bounds.getEast()]], style).addTo(grid);
    }
    grid.eachLayer((line) => line.bringToBack());
  }

  function say(collection, drawn) {
    const said = [];
    if (collection.grouped) { said.push("Too many structures to draw one by one here: each square is a group with its number."); }
    if (drawn && drawn.omitted) { said.push(`${drawn.omitted} short lines are left out at this scale.`); }
    note.textContent = said.join(" ");
  }

  async function draw() {
    const view = map.getBounds();
    if (seenWhole && seenWhole.contains(view)) { drawGrid(); fitMarks(); return; }
    const wanted = view.pad(0.3);
    drawnZoom = map.getZoom();
    underway?.abort();
    underway = new AbortController();
    const { signal } = underway;
    const bbox = `bbox=${bboxOf(wanted)}`;
    const query = [box.dataset.query, bbox, "gather=1"].filter(Boolean).join("&");
    try {
      const [structures, drawn] = await Promise.all([
        layer(box.dataset.structures, query, signal), layer(box.dataset.lines, bbox, signal),
      ]);
      drawLines(drawn);
      drawMarks(structures);
      say(structures, drawn);
      box.dataset.drawn = String(structures.features.length);
      // Lines are thinned for the scale they were asked at, so a closer look asks again.
      seenWhole = structures.grouped || drawn.omitted ? null : wanted;
    } catch (problem) {
      if (problem.name === "AbortError") { return; }
      note.textContent = `The sheet could not be drawn: ${problem.message} The list below says the same in words.`;
    }
  }

  map.on("moveend", () => {
    if (map.getZoom() - drawnZoom >= 2) { seenWhole = null; }
    draw();
  });
  // On paper the sheet has its own size: the same view is fitted to it first, and put back afterwards.
  let onScreen = null;
  function resize(printing, view) {
    box.classList.toggle("is-printing", printing);
    map.invalidateSize({ animate: false, pan: false });
    map.fitBounds(view, { animate: false });
  }
  window.addEventListener("beforeprint", () => { onScreen = map.getBounds(); resize(true, onScreen); });
  window.addEventListener("afterprint", () => { if (onScreen) { resize(false, onScreen.pad(-0.02)); onScreen = null; } });
  for (const button of document.querySelectorAll("[data-show]")) {
    button.addEventListener("click", () => {
      chosenId = Number(button.dataset.show);
      const held = known.get(chosenId);
      if (held) { choose(held.feature); }
      map.setView([Number(button.dataset.lat), Number(button.dataset.lon)], Math.max(map.getZoom(), 12));
      box.scrollIntoView({ block: "center" });
    });
  }
  draw();
})();
