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
// On a narrow screen twenty doors would push the page down: they fold away until asked for.
const doors = document.querySelector(".doors-fold");
if (doors && window.matchMedia("(max-width: 46rem)").matches) { doors.open = false; }
// A link into a closed part opens it; what is to be printed whole is opened for the paper and closed again.
function openFor(address) {
  const target = address.length > 1 ? document.getElementById(address.slice(1)) : null;
  const around = target ? target.closest("details") : null;
  if (around && !around.open) { around.open = true; target.scrollIntoView(); }
}
window.addEventListener("hashchange", () => openFor(window.location.hash));
openFor(window.location.hash);
window.addEventListener("beforeprint", () => {
  for (const part of document.querySelectorAll("details[data-print-open]:not([open])")) {
    part.dataset.wasClosed = ""; part.open = true;
  }
});
window.addEventListener("afterprint", () => {
  for (const part of document.querySelectorAll("details[data-was-closed]")) {
    delete part.dataset.wasClosed; part.open = false;
  }
});
for (const button of document.querySelectorAll("[data-print]")) {
  button.addEventListener("click", () => window.print());
}
