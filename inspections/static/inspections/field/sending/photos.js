// Sending photographs in pieces, from where the office says it stands.
import { Refusal, Unreachable, ask } from "../office.js";
import { notePhoto } from "../store.js";

export const PIECE_BYTES = 256 * 1024;
const MOST_STEPS_WITHOUT_GAIN = 5;

/** Send one photograph. Throws SignedOut or Unreachable; a refusal is noted on the photograph. */
export async function sendPhoto(photo, structure, device, tell = () => {}) {
  const address = `/field/photos/${photo.identity}/`;
  const { sha256, size_bytes, caption, taken_at, lon, lat } = photo;
  try {
    const begun = await ask(address, { method: "POST", json: { sha256, size_bytes, structure, caption, taken_at, lon, lat, device } });
    await pieces(photo, address, begun.body, tell);
  } catch (error) {
    if (!(error instanceof Refusal)) { throw error; }
    await notePhoto(photo.identity, { problem: { sentences: error.sentences } });
  }
}

async function pieces(photo, address, begun, tell) {
  let answer = begun;
  let furthest = -1;
  let standing = 0;
  for (;;) {
    if (answer.state === "kept") { return forget(photo, answer); }
    if (answer.state === "refused") {
      const sentences = answer.sentences?.length ? answer.sentences : ["The office could not use this photograph."];
      // Its bytes may be safe at the office all the same; only then has the device done its part.
      const kept = answer.photo === photo.identity && answer.received_bytes >= photo.size_bytes;
      return notePhoto(photo.identity, { kept, problem: { sentences } });
    }
    const from = answer.received_bytes;
    standing = from > furthest ? 0 : standing + 1;
    furthest = Math.max(furthest, from);
    if (!Number.isInteger(from) || from >= photo.size_bytes || standing > MOST_STEPS_WITHOUT_GAIN) {
      throw new Unreachable("The office and this device do not agree how much of a photograph has arrived.");
    }
    tell(from / photo.size_bytes);
    answer = await piece(photo, address, from);
  }
}

async function piece(photo, address, from) {
  const bytes = await readable(photo, from);
  try {
    return (await ask(address, { method: "PUT", bytes, headers: { "X-From-Byte": String(from) } })).body;
  } catch (error) {
    // An answer was lost and the office is further on (or further back) than this device thought.
    if (error instanceof Refusal && error.status === 409 && Number.isInteger(error.body.received_bytes)) {
      return { ...error.body, state: error.body.state || "open" };
    }
    throw error;
  }
}

async function readable(photo, from) {
  try {
    return await photo.blob.slice(from, from + PIECE_BYTES).arrayBuffer();
  } catch {
    throw new Refusal(0, { sentences: ["This photograph can no longer be read from this device. Take it again if you can."] });
  }
}

function forget(photo, answer) {
  if (answer.photo !== photo.identity) { throw new Unreachable("The answer named another photograph; nothing was taken off this device."); }
  return notePhoto(photo.identity, { kept: true, problem: null });
}
