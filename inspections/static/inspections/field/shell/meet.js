// The three-way choice, with what differs shown before it is made.
import { choose, differences } from "../meeting.js";
import { sendAll } from "../sender.js";
import { button, h } from "./dom.js";
import { dayWords } from "./words.js";

const CHOICES = [
  ["mine", "Keep mine", "Yours stands; theirs stays in the history of the inspection."],
  ["theirs", "Keep theirs", "Theirs stands; yours stays with the records the office received."],
  ["both", "Keep both", "What only one of you changed is taken from that one. Where both changed the same, yours counts and theirs goes into the notes."],
];

export function meetingPart(work) {
  const theirs = work.answer.theirs || {};
  const rows = differences(work);
  const who = theirs.by?.name || theirs.by || "another device";
  return h("section", { class: "meeting", "aria-label": "Two versions" },
    work.answer.sentences?.length ? null : h("p", {}, `${who} changed this inspection${theirs.at ? ` on ${dayWords(theirs.at)}` : ""} after your copy was taken along.`),
    h("p", {}, rows.length ? "This differs:" : "Nothing that is shown here differs."),
    rows.length ? h("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "What differs" }, h("table", {}, h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "What"), h("th", { scope: "col" }, "Mine"), h("th", { scope: "col" }, "Theirs"))),
      h("tbody", {}, rows.map((row) => h("tr", {}, h("th", { scope: "row" }, row.what), h("td", {}, row.mine), h("td", {}, row.theirs)))))) : null,
    CHOICES.map(([choice, words, meaning]) => h("p", { class: "choice-line" }, button(words, async () => {
      await choose(work.identity, choice);
      await sendAll({ reason: "pressed" });
    }, { class: choice === "mine" ? "" : "second" }), h("span", {}, meaning))));
}
