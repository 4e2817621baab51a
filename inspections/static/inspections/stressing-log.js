// A page that was lost on the way (no signal, a closed browser) gives back what was typed for the same pull, with the
// same identity, so that sending it twice saves it once. Without this the form works all the same.
"use strict";
(() => {
  const form = document.getElementById("pull-form");
  if (!form) { return; }
  const field = (name) => form.elements.namedItem(name);
  const place = `${form.dataset.keep}-${field("pull_number").value}-${field("bar_index").value}`;
  const kept = () => [...form.querySelectorAll("input[name], select[name]")].filter((one) => one.name !== "csrfmiddlewaretoken");
  let store = null;
  try { store = window.sessionStorage; } catch { return; }

  function keep() {
    const typed = kept().map((one) => [one.name, one.type === "checkbox" ? one.checked : one.value]);
    try { store.setItem(place, JSON.stringify(typed)); } catch { /* full or forbidden: the page works without */ }
  }

  // What this browser kept for other pulls of the day was saved or given up.
  for (const key of Object.keys(store)) {
    if (key.startsWith(`${form.dataset.keep}-`) && key !== place) { store.removeItem(key); }
  }
  const before = store.getItem(place);
  const isEmpty = kept().every((one) => ["hidden", "select-one"].includes(one.type) || !(one.type === "checkbox" ? one.checked : one.value));
  if (before && isEmpty) {
    for (const [name, value] of JSON.parse(before)) {
      const one = field(name);
      if (one && one.type === "checkbox") { one.checked = value; } else if (one) { one.value = value; }
    }
  }
  form.addEventListener("input", keep);
  form.addEventListener("submit", (event) => {
    keep();
    // A second tap of a glove on its way: the first is enough, and the server keeps one anyway.
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "1";
    window.setTimeout(() => { delete form.dataset.sent; }, 4000);
  });
  const problems = document.getElementById("problems");
  if (problems) { problems.focus(); }
})();
