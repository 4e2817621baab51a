// "Propose from the findings" without saving: the sheet as typed goes to the site, the panel comes back. Without this
// file the same button saves the draft and shows the panel.
"use strict";
(() => {
  const button = document.querySelector("[data-propose]");
  const panel = document.getElementById("proposals-body");
  if (!button || !panel || !window.fetch) { return; }
  button.addEventListener("click", async (event) => {
    event.preventDefault();
    panel.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(button.dataset.propose, { method: "POST", body: new FormData(button.form) });
      if (!answer.ok) { throw new Error(String(answer.status)); }
      panel.innerHTML = await answer.text();
    } catch {
      panel.innerHTML = "<p class=\"refusal\" role=\"alert\">The site did not answer. Save the draft: the proposals are then on the page.</p>";
    }
    panel.removeAttribute("aria-busy");
    panel.focus();
  });
})();
