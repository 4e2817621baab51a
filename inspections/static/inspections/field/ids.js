// Identities made on the device: unique for ever, without asking anybody.

/** A version 4 UUID (RFC 9562 section 5.4), lower case. */
export function newId() {
  if (globalThis.crypto.randomUUID) { return globalThis.crypto.randomUUID(); }
  const bytes = globalThis.crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** SHA-256 of a Blob as 64 hex digits, or "" where the browser has no such thing (no secure context). */
export async function sha256Hex(blob) {
  if (!globalThis.crypto.subtle) { return ""; }
  const digest = await globalThis.crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
