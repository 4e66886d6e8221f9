"use strict";
// Keeps the files of one edition, so that the pages open without a network from the second time on.
// A new edition is had whole before it takes the old one's place, and only when the student says so.

const { edition, files } = {list};
const KEPT = `enginemath-${edition}`;

addEventListener("install", (event) => event.waitUntil((async () => {
  const kept = await caches.open(KEPT);
  for (const file of files) {
    if (await kept.match(file)) continue;
    const answer = await fetch(file, file.includes("/") ? {} : { cache: "no-cache" });
    if (!answer.ok) throw new Error(`${file}: ${answer.status}`);
    await kept.put(file, answer);
  }
})()));
addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("enginemath-edition") && name !== KEPT) await caches.delete(name);
  await clients.claim();
})()));
addEventListener("message", ({ data }) => { if (data === "take over") skipWaiting(); });
addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const name = new URL(event.request.url).href.replace(/[?#].*/, "").slice(registration.scope.length) || "index.html";
  if (!files.includes(name)) return;
  const ours = async () => await (await caches.open(KEPT)).match(name) || fetch(event.request);
  event.respondWith(name.endsWith(".wasm") ? compiled(event.request).catch(ours) : ours());
});
// The machine code from where the browser keeps it as it has compiled it, if it does; it asks nobody.
async function compiled(request) {
  const found = await fetch(request, { cache: "only-if-cached", mode: "same-origin" });
  if (!found.ok) throw new Error("not there");
  return found;
}
