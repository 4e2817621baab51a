// Whom to call. It works with no signal for data, and says what comes before any record.
import { contacts } from "../office.js";
import { fill, h, link, setActions } from "./dom.js";

export async function callPage(container) {
  const people = await contacts();
  fill(container, h("h1", {}, "Whom to call"),
    h("p", { class: "caution" }, "If a span looks unsafe: stay, block the road to traffic, call, and only then record."),
    people.length
      ? h("ul", { class: "plain" }, people.map((one) => h("li", { class: "card" },
        h("p", {}, h("strong", {}, one.name || one.role), one.name && one.role ? `, ${one.role}` : ""),
        one.note ? h("p", {}, one.note) : null,
        one.phone ? link(`Call ${one.phone}`, `tel:${one.phone.replace(/[^\d+]/g, "")}`) : h("p", {}, "No number is kept."))))
      : h("p", { class: "caution" }, "This device holds no numbers of your office. Call the emergency number of this place, then your supervisor and the engineer."),
    h("p", {}, "Where a telephone finds no signal: send somebody for help while another person keeps the road blocked."),
  );
  setActions(link("Record a critical finding", "#/critical/", { class: "grave" }));
}
