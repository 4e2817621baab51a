// Two devices changed one inspection: what differs, and which stands.
import { changeWork } from "./store.js";

const SILENT = new Set(["identity", "base_revision", "submit", "kind", "id", "revision", "state", "by", "at", "rating_proposals", "asked", "device"]);

const plain = (value) => (value === null || value === undefined || value === "" ? "—" : typeof value === "object" ? JSON.stringify(value) : String(value));
const isEmpty = (value) => plain(value) === "—" || plain(value) === "{}" || plain(value) === "[]";
const named = (name) => name.replace(/_/g, " ").replace(/^./, (letter) => letter.toUpperCase());

function fieldsThatDiffer(mine, theirs) {
  const names = new Set([...Object.keys(mine || {}), ...Object.keys(theirs || {})]);
  return [...names].filter((name) => !SILENT.has(name)).filter((name) => {
    const [a, b] = [mine?.[name], theirs?.[name]];
    return !(isEmpty(a) && isEmpty(b)) && plain(a) !== plain(b);
  });
}

function rowsThatDiffer(mine, theirs, key, what) {
  const [here, there] = [mine || [], theirs || []].map((rows) => new Map(rows.map((row) => [String(row[key]), row])));
  const found = [];
  for (const id of new Set([...here.keys(), ...there.keys()])) {
    const [a, b] = [here.get(id), there.get(id)];
    const name = `${what} ${(a || b).kind ? named((a || b).kind).toLowerCase() : id}`;
    if (!a) { found.push({ what: name, mine: "not there", theirs: "entered" }); }
    else if (!b) { found.push({ what: name, mine: "entered", theirs: "not there" }); }
    else { for (const field of fieldsThatDiffer(a, b)) { found.push({ what: `${name}, ${named(field).toLowerCase()}`, mine: plain(a[field]), theirs: plain(b[field]) }); } }
  }
  return found;
}

/** [{what, mine, theirs}] in words: as the office compared them, or by this device where it did not. */
export function differences(work) {
  const { body, answer } = work;
  if (answer.differs?.length) { return answer.differs.map(({ part, words, mine, theirs }) => ({ what: words || part, mine: plain(mine), theirs: plain(theirs) })); }
  const theirs = answer.theirs || {};
  const heads = fieldsThatDiffer(body.inspection, theirs.inspection).filter((name) => name in (theirs.inspection || {}));
  return [
    ...heads.map((name) => ({ what: named(name), mine: plain(body.inspection[name]), theirs: plain(theirs.inspection[name]) })),
    ...rowsThatDiffer(body.findings, theirs.findings, "identity", "Finding"),
    ...rowsThatDiffer(body.elements, theirs.elements, "number", "Element"),
  ];
}

/** Choose mine, theirs or both; the choice goes to the office as a new record. */
export function choose(identity, choice) {
  return changeWork(identity, (work) => {
    if (work.state !== "held" || work.answer?.held_for !== "meeting") { return null; }
    const theirs = work.answer.theirs?.inspection;
    return {
      ...work, state: "ready", problem: null, changes: work.changes + 1,
      resolves: { record: work.answer.record, choice }, base_revision: theirs?.revision ?? work.base_revision,
    };
  });
}
