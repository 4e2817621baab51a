// A work that was handed in: what became of it, and the way to open it again.
import { button, fill, h, moveTo } from "./fields.js";

const STATE = {
  ready: ["Handed in", "It is kept on this device and goes out by itself as soon as there is signal. Nothing more is to be done."],
  filed: ["Sent", "The office has it."],
  held: ["Held by the office", "The office has it and a person there looks at it."],
};

/** Whether a change of it would be taken: what is submitted is changed only after the engineer has sent it back. */
function mayReopen({ state, answer }) {
  if (state === "ready") return true;
  if (state === "filed") return ["draft", "sent_back"].includes(answer?.inspection?.state);
  return answer?.held_for === "missing";
}

/** `reopen` makes it open again on this device; what is sent afterwards is sent as a change of it. */
export function frozenView(work, title, reopen) {
  const [word, means] = STATE[work.state] ?? STATE.ready;
  const sentences = work.answer?.sentences ?? [];
  const isDraft = work.state === "filed" && work.answer?.inspection?.state === "draft";
  const box = h("section", { class: "panel frozen", "aria-labelledby": "frozen-heading" },
    h("h2", { id: "frozen-heading" }, isDraft ? "Sent, kept there as a draft" : word),
    h("p", {}, isDraft ? "The office has it, but it is not submitted: something is missing." : means),
    sentences.length ? h("ul", {}, sentences.map((sentence) => h("li", {}, sentence))) : null,
    work.problem ? h("p", { class: "fault" }, typeof work.problem === "string" ? work.problem : work.problem.words ?? "") : null,
    h("p", { class: "acts" }, mayReopen(work) ? button("Open it again to change it", reopen, isDraft ? "big" : "second big") : h("p", {}, "To change it, ask the reviewing engineer to send it back."), h("a", { class: "button second big", href: "#/unsent" }, "How it stands"), h("a", { class: "button second big", href: "#/" }, "Back to the list")));
  const page = h("div", {}, title, box);
  return { element: page, focus: () => moveTo(box.querySelector("h2")), fill: (...parts) => fill(page, ...parts) };
}
