// Sending one record, and what its answer does to the work on the device.
import { Refusal, Unreachable, ask } from "../office.js";
import { changeWork, getWork, photosOf } from "../store.js";
import { aboutDevice, asSent, contentOf } from "./content.js";

/** Send the work as it stands. Throws SignedOut or Unreachable; a refusal is noted on the work. */
export async function sendWork(identity) {
  await settleOlder(identity);
  const work = await freeze(identity);
  if (!work?.frozen) { return; }
  try {
    const { body } = await ask("/field/records/", { method: "POST", json: asSent(work.frozen.content) });
    await take(identity, work.record, body);
  } catch (error) {
    if (!(error instanceof Refusal)) { throw error; }
    await notePrevented(identity, work.record, error);
  }
}

// The answer to an older content was lost and the work changed since: ask what became of it before sending the newer.
async function settleOlder(identity) {
  const work = await getWork(identity);
  if (!work?.frozen || work.frozen.changes === work.changes) { return; }
  try {
    const { body } = await ask(`/field/records/${work.record}/`);
    await take(identity, work.record, body);
  } catch (error) {
    if (!(error instanceof Refusal)) { throw error; }
    await changeWork(identity, (row) => (row.record === work.record ? { ...row, record: null, frozen: null } : null));
  }
}

async function freeze(identity) {
  const seen = await getWork(identity);
  if (!seen || seen.state !== "ready" || seen.frozen) { return seen?.state === "ready" ? seen : null; }
  const content = contentOf(seen, await photosOf(identity), await aboutDevice());
  const row = await changeWork(identity, (current) => {
    // Changed or frozen by another window in between: that window's content stands.
    if (current.frozen || current.state !== "ready" || current.changes !== seen.changes) { return null; }
    return { ...current, record: content.record, frozen: { content, changes: current.changes } };
  });
  return row?.frozen && row.frozen.changes === row.changes ? row : null;
}

/** Ask what became of a record the office holds: once it is settled there, the device may let go of it. */
export async function askAfterHeld(work) {
  try {
    const { body } = await ask(`/field/records/${work.answer.record}/`);
    if (body.record !== work.answer.record || body.state !== "filed") { return; }
    await changeWork(work.identity, (row) => {
      if (row.state !== "held" || row.answer?.record !== body.record) { return null; }
      // Two met there, and the office chose: what this device holds may not be what stands now.
      const is_over = Boolean(row.is_over || row.answer.theirs);
      return { ...row, state: "filed", answer: body, is_over, base_revision: body.inspection?.revision ?? row.base_revision };
    });
  } catch (error) {
    if (!(error instanceof Refusal)) { throw error; }
  }
}

/** Take the office's answer; only an answer that names the record counts. */
async function take(identity, record, answer) {
  if (answer.record !== record) { throw new Unreachable("The answer named another record; nothing was taken off this device."); }
  await changeWork(identity, (row) => (row.record === record ? answered(row, answer) : null));
}

function answered(row, answer) {
  const isNewerHere = row.frozen.changes !== row.changes;
  // Kept but not yet entered: ask again later with the same number.
  if (answer.state === "kept") { return { ...row, answer }; }
  const next = {
    ...row, record: null, frozen: null, answer, problem: null, sent_at: new Date().toISOString(),
    // Held: what the other entered is not in what this device holds, so it still goes on from what it fetched.
    base_revision: answer.state === "held" ? row.base_revision : answer.inspection?.revision ?? row.base_revision,
  };
  if (answer.state === "filed" && row.resolves) {
    // Put together at the office, or theirs: what this device holds is not what stands there.
    next.is_over = row.resolves.choice !== "mine";
    delete next.resolves;
  }
  const state = answer.state === "held" ? "held" : "filed";
  if (!isNewerHere || (state === "held" && row.state === "ready")) { next.state = state; }
  return next;
}

function notePrevented(identity, record, refusal) {
  const isClash = refusal.status === 409;
  return changeWork(identity, (row) => {
    if (row.record !== record) { return null; }
    // A newer content of this work has not been refused by anybody.
    const isNewerHere = row.frozen.changes !== row.changes;
    const problem = isNewerHere ? null : { kind: isClash ? "clash" : "refused", sentences: refusal.sentences };
    // The next try is a new content with a new number; what the office holds under the old one stays there.
    return { ...row, record: null, frozen: null, problem };
  });
}
