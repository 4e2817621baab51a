// Opens the app where there is no signal. It keeps the shell and the app's files, and nothing of any person:
// packs and works live in the store of the page, answers of the office are never kept here.
{% if sends %}import { sendAll, sendingState } from "{{ sender }}";
{% else %}"use strict";
const sendAll = null;
{% endif %}const VERSION = "{{ version|escapejs }}";
self.FIELD_VERSION = VERSION;
const FILES = [{% for each in files %}"{{ each|escapejs }}", {% endfor %}];
const PREFIX = "spanledger-field-";
const CACHE = PREFIX + VERSION;
const SHELL = "/field/";

// All files or none: a shell with one file of another version would be worse than the older one whole.
self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const answers = await Promise.all(FILES.map(async (address) => {
      const answer = await fetch(new Request(address, { cache: "reload", credentials: "same-origin" }));
      if (!answer.ok || answer.redirected) { throw new Error(address + " answered " + answer.status); }
      return [address, answer];
    }));
    const cache = await caches.open(CACHE);
    await Promise.all(answers.map(([address, answer]) => cache.put(address, answer)));
  })());
});

// Older shells go only when this one is in charge; an update waits until no window uses the older one.
self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith(PREFIX) && name !== CACHE) { await caches.delete(name); }
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin || !FILES.includes(address.pathname)) { return; }
  if (address.pathname === SHELL && request.mode !== "navigate") { return; }
  event.respondWith((async () => {
    const cache = await caches.open(CACHE);
    const kept = await cache.match(address.pathname, { ignoreVary: true });
    return kept || fetch(request);
  })());
});

self.addEventListener("message", (event) => {
  // Pressed by the person, and only offered where no form is open.
  if (event.data === "take-over") { self.skipWaiting(); }
  if (event.data === "version" && event.ports[0]) { event.ports[0].postMessage(VERSION); }
});

// Where the browser offers it: signal is back. An open window sends; where none is open, this worker does.
self.addEventListener("sync", (event) => {
  event.waitUntil((async () => {
    const windows = await self.clients.matchAll({ type: "window" });
    for (const client of windows) { client.postMessage("send"); }
    if (windows.length || !sendAll) { return; }
    await sendAll({ reason: "online" });
    // The browser tries again later, by its own waits, only where it is told that this failed.
    if (sendingState().state === "waiting") { throw new Error("not sent yet"); }
  })());
});
