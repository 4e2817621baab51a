// Small manners for every page: no inline script anywhere.
"use strict";
document.addEventListener("submit", (event) => {
  const form = event.target;
  const question = form.dataset.ask;
  if (question && !window.confirm(question)) { event.preventDefault(); return; }
  // A second press while the first is on its way would be refused by the server; say that it is under way.
  if (form.method === "post") {
    const button = event.submitter;
    if (button && form.dataset.wait !== undefined) { button.setAttribute("aria-busy", "true"); }
  }
});
document.addEventListener("change", (event) => {
  const control = event.target;
  if (control.dataset && control.dataset.submits !== undefined) { control.form.requestSubmit(); }
});
for (const button of document.querySelectorAll("[data-print]")) {
  button.addEventListener("click", () => window.print());
}
