// A photograph made small enough to send: longest side 2400 px, JPEG 0.85. A picture drawn anew carries no metadata.
export const LONGEST_PX = 2400;
const QUALITY = 0.85;
const SMALL_BYTES = 600_000;

async function encoded(bitmap, width, height) {
  if (globalThis.OffscreenCanvas) {
    const canvas = new OffscreenCanvas(width, height);
    canvas.getContext("2d").drawImage(bitmap, 0, 0, width, height);
    return canvas.convertToBlob({ type: "image/jpeg", quality: QUALITY });
  }
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  canvas.getContext("2d").drawImage(bitmap, 0, 0, width, height);
  return new Promise((give) => canvas.toBlob(give, "image/jpeg", QUALITY));
}

/** {blob, width, height}; a JPEG that is already small goes as it is. Throws where this is no picture. */
export async function smaller(file) {
  const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  try {
    const ratio = Math.min(1, LONGEST_PX / Math.max(bitmap.width, bitmap.height));
    const [width, height] = [bitmap.width, bitmap.height].map((side) => Math.max(1, Math.round(side * ratio)));
    if (ratio === 1 && file.type === "image/jpeg" && file.size <= SMALL_BYTES) return { blob: file, width, height };
    const blob = await encoded(bitmap, width, height);
    if (!blob?.size) throw new Error("no room to draw it");
    return { blob, width, height };
  } finally {
    bitmap.close();
  }
}

let worker = null;
let number = 0;
const waiting = new Map();

function startWorker() {
  if (worker !== null || !globalThis.Worker || !globalThis.OffscreenCanvas) return worker;
  try {
    worker = new Worker(new URL("./resize-worker.js", import.meta.url), { type: "module" });
    worker.addEventListener("message", ({ data }) => {
      const turn = waiting.get(data.number);
      waiting.delete(data.number);
      if (data.problem) turn?.refuse(new Error(data.problem));
      else turn?.give(data);
    });
    // Where the worker cannot run at all, everything that waits is done here instead.
    worker.addEventListener("error", () => {
      worker = false;
      for (const { file, give, refuse } of waiting.values()) smaller(file).then(give, refuse);
      waiting.clear();
    });
  } catch {
    worker = false;
  }
  return worker;
}

/** `smaller` in a worker where there is one, else here. */
export function smallerAside(file) {
  const there = startWorker();
  if (!there) return smaller(file);
  return new Promise((give, refuse) => {
    waiting.set(++number, { file, give, refuse });
    there.postMessage({ number, file });
  });
}
