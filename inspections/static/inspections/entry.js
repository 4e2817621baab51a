// The entry sheet: rows are added and removed, sizes shown by kind, sums kept. Without it every field is there anyway.
import { faultsOf, missingFrom, questionsOf, rowOf } from "./field/evidence.js";

(() => {
  const form = document.getElementById("entry");
  if (!form) { return; }
  const table = JSON.parse(document.getElementById("evidence-table").textContent);
  const places = JSON.parse(document.getElementById("places").textContent);
  const ROWS_OF_THE_BRIDGE = ["member", "bar", "jack", "photo", "span_index", "condition_state"];

  // 5.25, 5-1/4 or 1/4, as the site reads it; what is no number stays text, and the table says so.
  function numberFrom(text) {
    const parts = text.trim().match(/^(?:(\d{1,4})[\s-]+)?(\d{1,3})\s*\/\s*(\d{1,3})$/);
    if (parts && Number(parts[3])) { return Number(parts[1] || 0) + Number(parts[2]) / Number(parts[3]); }
    const plain = text.trim().replace("−", "-").replace(/^(\d{1,3})((?:,\d{3})+)(\.\d+)?$/, (all) => all.replaceAll(",", ""));
    return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : text.trim();
  }

  function findingIn(row) {
    const finding = {};
    // By name, not by place: a box that was asked for stands in the short form on top.
    const prefix = row.querySelector("select[name$='-kind']").name.slice(0, -"kind".length);
    for (const control of form.querySelectorAll(`[name^="${prefix}"]`)) {
      const name = control.name.split("-").slice(2).join("-");
      const isNumber = name in table.readings && (table.readings[name].least !== null || ROWS_OF_THE_BRIDGE.includes(name));
      if (control.value.trim() === "") { finding[name] = null; } else { finding[name] = isNumber ? numberFrom(control.value) : control.value; }
    }
    if (finding.photo === null || finding.photo === undefined) {
      finding.photo = places.shown.includes(finding.identity) ? "shown" : null;
    }
    return finding;
  }

  function tell(row, finding) {
    const place = row.querySelector("[data-told]");
    if (!place) { return; }
    const member = places.members[finding.member] ?? null;
    const spanFt = places.spans[finding.span_index] ?? null;
    const told = rowOf(finding.kind, table)
      ? [...faultsOf(finding, table, { spanFt, member }).map((one) => `▲ ${one.words}`),
        ...questionsOf(finding, table, { member, span: { length_ft: spanFt } }).map((one) => `? ${one.words}`)]
      : [];
    place.replaceChildren(...told.map((words) => {
      const line = document.createElement("p");
      line.textContent = words;
      return line;
    }));
  }

  function showSizes(row) {
    const finding = findingIn(row);
    const evidence = rowOf(finding.kind, table);
    const missing = evidence ? missingFrom(finding, table).flatMap((one) => [one.field, ...one.any_of]) : [];
    for (const size of row.querySelectorAll("[data-size]")) {
      const name = size.dataset.size;
      const isNeeded = Boolean(evidence) && (evidence.needs.includes(name) || missing.includes(name));
      const isAsked = Boolean(evidence) && evidence.shown.includes(name);
      // What was already typed stays in sight, whatever the kind: nothing is sent unseen.
      const control = size.querySelector("input, select");
      const isTyped = Boolean(evidence) && control.value !== "" && control.value !== control.dataset.given;
      size.hidden = !(isNeeded || isAsked || isTyped);
      size.classList.toggle("needed", isNeeded);
    }
    row.querySelector("[data-how]").textContent = evidence ? evidence.how : "";
    tell(row, finding);
  }

  function showSum(row) {
    const output = row.querySelector("output[data-sum]");
    const number = (name) => Number((row.querySelector(`input[name$='-${name}']`).value || "0").replace(",", ""));
    const sum = ["cs1", "cs2", "cs3", "cs4"].map(number).reduce((a, b) => a + b, 0);
    const total = number("total");
    if (!row.querySelector("input[name$='-total']").value && !sum) { output.textContent = ""; return; }
    const isOff = Number.isNaN(sum) || Math.abs(sum - total) > Math.max(0.5, 0.01 * total);
    output.classList.toggle("off", isOff);
    output.textContent = Number.isNaN(sum) ? "not a number" : `${Math.round(sum * 100) / 100}${isOff ? ` of ${total}` : " ✓"}`;
  }

  function showRemoved(row) {
    const box = row.querySelector("input[name$='-remove']");
    row.classList.toggle("is-removed", Boolean(box && box.checked));
  }

  function wake(row) {
    if (row.classList.contains("finding")) { showSizes(row); } else { showSum(row); }
    showRemoved(row);
  }

  function isEmpty(row) {
    return [...row.querySelectorAll("input:not([type=checkbox]), select, textarea")]
      .every((control) => control.value === "" || control.value === control.dataset.given);
  }

  for (const section of form.querySelectorAll("[data-rows]")) {
    const list = section.querySelector("[data-list]");
    const pattern = section.querySelector("template");
    const rows = () => [...list.querySelectorAll("[data-row]")];
    const numberOf = (row) => Number(row.querySelector("[name]").name.split("-")[1]);
    const renumber = () => rows().forEach((row, index) => {
      const shown = row.querySelector("[data-number]");
      if (shown) { shown.textContent = String(index + 1); }
    });
    for (const control of section.querySelectorAll("select[name$='-span_index']")) {
      if (control.options.length === 2) { control.dataset.given = control.options[1].value; }
    }
    // The spare rows are for browsers without scripts; here a button makes new ones.
    rows().filter(isEmpty).forEach((row) => row.remove());
    let next = Math.max(-1, ...rows().map(numberOf)) + 1;
    rows().forEach(wake);
    renumber();
    const add = section.querySelector("[data-add]");
    add.hidden = false;
    add.addEventListener("click", () => {
      const holder = document.createElement(list.tagName === "TBODY" ? "tbody" : "div");
      holder.innerHTML = pattern.innerHTML.replaceAll("__n__", String(next));
      next += 1;
      const row = holder.querySelector("[data-row]");
      for (const control of row.querySelectorAll("select[name$='-span_index']")) {
        if (control.options.length === 2) { control.dataset.given = control.options[1].value; }
      }
      list.append(row);
      wake(row);
      renumber();
      row.querySelector("select, input").focus();
    });
    section.addEventListener("input", (event) => {
      const row = event.target.closest("[data-row]");
      if (row) { wake(row); }
    });
  }

  // A force typed for one bar takes method, jack, unit and the wood's temperature of the bar typed before it; all stay open.
  const bars = [...form.querySelectorAll(".bar-table input[name$='-force_lb']")];
  const fieldOf = (force, name) => form.elements.namedItem(force.name.replace("force_lb", name));
  for (const force of bars) {
    force.addEventListener("change", () => {
      const before = bars.slice(0, bars.indexOf(force)).reverse().find((other) => other.value.trim() !== "");
      if (!before || force.value.trim() === "") { return; }
      for (const name of ["force_method", "wood_temp_f", "typed_in", "jack"]) {
        const [own, given] = [fieldOf(force, name), fieldOf(before, name)];
        if (own && given && own.value === "") { own.value = given.value; }
      }
      showForce(force);
    });
  }

  // What the readings come to, in lb, while they are typed; the site works it out again when it is saved.
  const pounds = JSON.parse(document.getElementById("pounds-per-psi").textContent);
  const shown = (value) => Math.round(value).toLocaleString("en-US");
  function showForce(force) {
    const output = force.closest("td").querySelector("output[data-force]");
    const isPsi = fieldOf(force, "typed_in").value === "psi";
    const factor = isPsi ? pounds[fieldOf(force, "jack").value] : 1;
    const typed = ["force_lb", "read_2", "read_3"].map((name) => fieldOf(force, name).value.trim().replace(",", ""))
      .filter((text) => text !== "").map(Number);
    if (!typed.length || typed.some((value) => Number.isNaN(value) || value < 0)) { output.textContent = ""; return; }
    if (!factor) { output.textContent = "choose the jack of this gauge"; return; }
    const lb = typed.map((value) => value * factor);
    const mean = lb.reduce((a, b) => a + b, 0) / lb.length;
    const spread = mean > 0 ? (Math.max(...lb) - Math.min(...lb)) / mean * 100 : 0;
    const several = lb.length > 1 ? `, lowest ${shown(Math.min(...lb))} lb, spread ${spread.toFixed(1)} %` : "";
    output.textContent = isPsi || several ? `${several ? "mean " : ""}${shown(mean)} lb${several}` : "";
  }
  for (const force of bars) {
    force.closest("tr").addEventListener("input", () => showForce(force));
    showForce(force);
  }

  let isChanged = false;
  form.addEventListener("input", () => { isChanged = true; });
  form.addEventListener("submit", () => { isChanged = false; });
  window.addEventListener("beforeunload", (event) => { if (isChanged) { event.preventDefault(); } });
  const problems = document.getElementById("problems");
  if (problems) { problems.focus(); }
})();
