// Sizes, ages and states in words.

const MB = 1024 * 1024;

export function sizeWords(bytes) {
  if (bytes < 1024) { return `${bytes} bytes`; }
  if (bytes < MB) { return `${Math.round(bytes / 1024)} kB`; }
  return bytes < 100 * MB ? `${(bytes / MB).toFixed(1)} MB` : bytes < 1024 * MB ? `${Math.round(bytes / MB)} MB` : `${(bytes / MB / 1024).toFixed(1)} GB`;
}

function counted(count, word) { return `${count} ${word}${count === 1 ? "" : "s"}`; }

/** How long ago a moment was, by the clock given. */
export function ageWords(then, at) {
  const minutes = Math.floor((at - new Date(then)) / 60000);
  if (!Number.isFinite(minutes)) { return "at an unknown time"; }
  if (minutes < 1) { return "just now"; }
  if (minutes < 60) { return `${counted(minutes, "minute")} ago`; }
  if (minutes < 48 * 60) { return `${counted(Math.floor(minutes / 60), "hour")} ago`; }
  return `${counted(Math.floor(minutes / 1440), "day")} ago`;
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** "5 Jun 2026" of an ISO day; anything else as it came. */
export function dayWords(day) {
  const parts = /^(\d{4})-(\d{2})-(\d{2})/.exec(day || "");
  return parts ? `${Number(parts[3])} ${MONTHS[Number(parts[2]) - 1]} ${parts[1]}` : String(day ?? "");
}

/** What is owed on a structure taken along, in sentences. */
export function dueWords(pack) {
  const visits = (pack.visits || []).map((visit) => visit.words || `${kindWord(visit.kind)} owed`);
  return [...visits, ...(pack.kept?.due || []).map((due) => due.words || `${kindWord(due.kind)} due ${dayWords(due.due_on)}`)];
}

export function unsentWords({ works, photos }) {
  const parts = [];
  if (works) { parts.push(counted(works, "record")); }
  if (photos) { parts.push(counted(photos, "photo")); }
  return parts.length ? `Unsent: ${parts.join(", ")}` : "Nothing unsent";
}

const KINDS = JSON.parse(document.getElementById("inspection-kinds")?.textContent || "{}");

/** Kinds of inspection as [[code, word]], in the order of the office. */
export const kindsOfInspection = () => Object.entries(KINDS);
export const kindWord = (code) => KINDS[code] || code;

export function titleOf(work) {
  const what = { critical: "Critical finding", sign: "Sign" }[work.kind] || `${kindWord(work.body?.inspection?.kind) || ""} inspection`;
  return `${work.number || "No structure"}: ${what.trim()}`;
}

/** Where a work stands, in words: [word, sentence]. */
export function stateWords(work, photosLeft = 0) {
  const rest = photosLeft ? ` ${counted(photosLeft, "photo")} still to go.` : "";
  if (work.problem) { return ["Not taken", `${work.problem.sentences.join(" ")}${rest}`]; }
  if (work.state === "held") {
    return work.answer?.held_for === "meeting"
      ? ["Needs your choice", `Somebody else changed the same inspection.${rest}`]
      : ["Held at the office", `The office has it and will settle it.${rest}`];
  }
  if (work.state === "filed") { return ["At the office", `${isDraft(work) ? "Kept there as a draft; it is not handed in." : "Handed in."}${rest}`]; }
  if (work.state === "ready") { return ["Ready to send", `It goes by itself when there is a signal.${rest}`]; }
  return ["Being entered", "Kept on this device. Hand it in from the form when it is complete."];
}

export function isDraft(work) { return !work.is_over && ["draft", "sent_back"].includes(work.answer?.inspection?.state); }
