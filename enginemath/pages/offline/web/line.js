"use strict";
// The page's line to Python where there is no server: Python in a worker, the student's work in this
// browser's storage. It says what a socket would say, so that the page's scripts are the same everywhere.

const edition = JSON.parse(document.getElementById("edition").textContent);   // what the builder wrote
const asksFor = new URLSearchParams(location.search);

// ---- the student's work, in this browser -----------------------------------------------------------
const kept = {
  base: null,
  refused: "",
  async open() {
    try {
      this.base = await new Promise((done, failed) => {
        const asked = indexedDB.open("enginemath", 1);
        asked.onupgradeneeded = () => asked.result.createObjectStore("work");
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => failed(asked.error);
        asked.onblocked = () => failed(new Error("another window holds it"));
      });
      return await this.all();
    } catch (error) {
      this.base = null;
      this.refused = String(error && error.name || error);
      return {};
    }
  },
  all() {
    return new Promise((done, failed) => {
      const store = this.base.transaction("work").objectStore("work"), files = {};
      const each = store.openCursor();
      each.onsuccess = () => {
        const at = each.result;
        if (!at) { done(files); return; }
        files[at.key] = at.value;
        at.continue();
      };
      each.onerror = () => failed(each.error);
    });
  },
  write(files) {
    return new Promise((done, failed) => {
      const change = this.base.transaction("work", "readwrite", { durability: "strict" });
      for (const [name, text] of Object.entries(files)) change.objectStore("work").put(text, name);
      change.oncomplete = done;
      change.onerror = change.onabort = () => failed(change.error);
    });
  },
  asked: false,
  // Asked for once there is something to lose; a browser may say no, and the work is kept all the same.
  askToStay() {
    if (this.asked || !navigator.storage || !navigator.storage.persist) return;
    this.asked = true;
    navigator.storage.persist().catch(() => {});
  },
};
const WHERE = "Your work lies in this browser, on this computer, and nowhere else. As a guest, on another "
  + "computer or in a cleared browser it is not there: hand in, and you have it as a file.";
const NOT_KEPT = "This browser keeps nothing here (a private window, or a rule of the school): hand in "
  + "before you close the page, and you have your work as a file.";
const FULL = "Not kept: there is no room left on this computer. What you typed stays here: hand in, and you have "
  + "it as a file.";
const FOR_INSTRUCTORS = "Class sets are made and marked where Python is installed, by enginemath class-set and "
  + "enginemath mark, not here; mark reads what is handed in here. ";

const NO_WORKER = "this browser begins no worker here: it is too old, or a rule of the school or of the page around these forbids it. "
  + "They need WebAssembly and workers";

// ---- Python in the worker --------------------------------------------------------------------------
// It begins before the page is there: it has the longest way.
const tooOld = lacking(), worker = tooOld ? null : beginning(), workAtFirst = tooOld ? null : kept.open();
let taken = false;
const OF_THE_WORK = /^\{"show": "(kept|map|box)"/;
function beginning() {
  const script = document.getElementById("worker");
  const address = script ? URL.createObjectURL(new Blob([script.textContent], { type: "text/javascript" })) : `${edition.name}/worker.js`;
  const base = new URL(`${edition.name}/`, location.href.replace(/[?#].*/, "")).href;
  let begun;
  try { begun = new Worker(address); } catch { return null; }
  begun.onerror = (event) => {
    event.preventDefault();
    cannot(/^(?!.*SyntaxError)./.test(event.message) ? event.message : "the file worker.js of this site cannot be had, or is not whole");
  };
  begun.onmessage = ({ data }) => cannot(data.failed);      // nothing else is said before a line is asked for
  begun.postMessage({ start: { base: edition.inside ? "" : base, hashes: edition.hashes, ordinary: asksFor.get("start") === "ordinary" } });
  return begun;
}

// A browser that keeps nothing may refuse this, too: then each window stands alone.
function otherWindows() {
  try { return new BroadcastChannel("enginemath-work"); } catch { return null; }
}

class Line {
  constructor(projector) {
    this.readyState = 0;
    this.projector = projector;
    this.others = otherWindows();
    this.begin().catch((error) => cannot(error.message));
  }
  async begin() {
    if (!worker) { cannot(tooOld || NO_WORKER); return; }
    sayAbove("one moment: the first time takes longer");
    const atFirst = taken ? kept.open() : workAtFirst;
    this.worker = taken ? beginning() : worker;
    taken = true;
    this.worker.onmessage = ({ data }) => this.hear(data);
    this.worker.postMessage({ work: await atFirst, projector: this.projector });
    if (this.others) this.others.onmessage = ({ data }) => this.worker.postMessage(data);
  }
  hear(data) {
    if (data.failed) { cannot(data.failed); return; }
    if (data.ready) {
      window.enginemathTimes = data.ready;
      this.readyState = 1;
      sayAbove("");
      this.onopen();
      return;
    }
    // After the first picture, practice, and two seconds in which the browser keeps what it has compiled.
    if (data.practised) { setTimeout(keepThisSite, 2500); return; }
    window.enginemathWork = data.work;
    // What was kept is said once it is, and the next box of an engine opens no sooner.
    const about = [], keeps = data.told.some((text) => text.startsWith('{"show": "kept"'));
    for (const text of data.told) {
      if (!OF_THE_WORK.test(text)) { this.onmessage({ data: text }); continue; }
      const message = JSON.parse(text);
      if (message.show === "kept" || (message.show === "box" && keeps)) { about.push(message); continue; }
      if (message.show === "map") this.sayWhere(message);
      this.tell(message);
      if (message.show === "map") { askForSheet(message, this); sayLicences(); }
    }
    if (Object.keys(data.files).length) this.keep(data.files, about);
    else about.forEach((message) => this.tell(message));
  }
  async keep(files, about) {
    try {
      if (!kept.base) throw new Error(kept.refused);
      await kept.write(files);
      kept.askToStay();
      if (this.others) this.others.postMessage({ files });
      about.forEach((message) => this.tell(message));
    } catch (error) {
      const trouble = /quota/i.test(error && error.name) ? FULL : NOT_KEPT;
      for (const message of about) this.tell(message.show === "kept" ? { ...message, show: "kept", trouble } : message);
    }
  }
  // Files that do not come from Python: kept, where that may be, and there in every window.
  async give(files) {
    this.worker.postMessage({ files });
    if (kept.base) await kept.write(files).catch(() => {});
    if (this.others) this.others.postMessage({ files });
  }
  sayWhere(map) {
    map.where = kept.base ? WHERE : "";
    if (!kept.base) map.warnings = [...map.warnings, NOT_KEPT];
  }
  tell(message) { this.onmessage({ data: JSON.stringify(message) }); }
  send(text) { this.worker.postMessage({ message: text }); }
}
window.lineToPython = (projector) => new Line(projector);

function lacking() {
  const has = {
    "WebAssembly": typeof WebAssembly === "object",
    "workers": typeof Worker === "function",
    "DecompressionStream": typeof DecompressionStream === "function",
  };
  const lacks = Object.keys(has).filter((name) => !has[name]);
  return lacks.length ? `this browser is too old for these pages: it lacks ${lacks.join(" and ")}. Take one of 2023 or later` : "";
}
// A script or a style of this page that did not come.
const missing = ({ src, href }) => cannot(`the file ${(src || href).split("/").pop()} of this site cannot be had, or is not whole`);
addEventListener("error", ({ target }) => { if (target instanceof Element && target.matches("script[src], link[href]")) missing(target); }, true);
addEventListener("DOMContentLoaded", () =>
  document.querySelectorAll("link[rel=stylesheet]").forEach((link) => link.sheet?.cssRules.length || missing(link)));
function sayAbove(text) {
  const node = document.querySelector(".kept");
  if (node) node.textContent = text;
}
function cannot(reason) {
  if (document.readyState === "loading") { addEventListener("DOMContentLoaded", () => cannot(reason)); return; }
  sayAbove("");
  document.querySelector(".starting")?.remove();
  if (document.querySelector(".cannot")) return;   // one sentence is enough
  const node = document.createElement("p");
  node.className = "warnings cannot";
  node.setAttribute("role", "alert");
  node.textContent = `These pages cannot start: ${reason}. Reload the page; if it says so again, tell whoever gave it to you.`;
  document.querySelector("main").before(node);
}

// ---- where the edition's files are -----------------------------------------------------------------
// In the folder they lie beside the page; in the one file they lie in it, as text: 15 bits a letter.
function hand(node) {
  const { file, packed, size } = node.dataset, bytes = unlettered(node.textContent, Number(size));
  node.remove();
  if (worker) worker.postMessage({ part: file, packed: Boolean(packed), bytes }, [bytes.buffer]);
}
function handedAll() { if (worker) worker.postMessage({ complete: true }); }
function unlettered(text, size) {
  const bytes = new Uint8Array(size), whole = size - size % 15;
  const letter = (place) => text.charCodeAt(place) - 0x1000;
  let at = 0, place = 0;
  while (at < whole) {
    const a = letter(place), b = letter(place + 1), c = letter(place + 2), d = letter(place + 3);
    const e = letter(place + 4), f = letter(place + 5), g = letter(place + 6), h = letter(place + 7);
    place += 8;
    bytes[at++] = a >> 7; bytes[at++] = a << 1 | b >> 14; bytes[at++] = b >> 6; bytes[at++] = b << 2 | c >> 13;
    bytes[at++] = c >> 5; bytes[at++] = c << 3 | d >> 12; bytes[at++] = d >> 4; bytes[at++] = d << 4 | e >> 11;
    bytes[at++] = e >> 3; bytes[at++] = e << 5 | f >> 10; bytes[at++] = f >> 2; bytes[at++] = f << 6 | g >> 9;
    bytes[at++] = g >> 1; bytes[at++] = g << 7 | h >> 8; bytes[at++] = h;
  }
  for (let held = 0, bits = 0; at < size;) {
    if (bits < 8) { held = (held << 15) | letter(place++); bits += 15; }
    bits -= 8;
    bytes[at++] = held >> bits;
    held &= (1 << bits) - 1;
  }
  return bytes;
}
const unpacked = (bytes) => new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();

// What is handed on here is handed on under its licences, whose texts go with it.
function sayLicences() {
  const place = document.createElement("p"), inside = document.getElementById("licences");
  const link = document.createElement("a");
  link.textContent = "licences";
  link.href = inside ? "#" : "licences/README.txt";
  link.target = "_blank";
  if (inside) link.onclick = async (event) => {
    event.preventDefault();
    openApart(await insideOf(inside), "text/plain");
  };
  place.className = "lies";
  place.append(FOR_INSTRUCTORS, link);
  document.querySelector(".steps section").append(place);
}
const insideOf = (node) => unpacked(unlettered(node.textContent, Number(node.dataset.size)));
const openApart = (text, kind) => window.open(URL.createObjectURL(new Blob([text], { type: `${kind};charset=utf-8` })));
// The sheets to print of the one file; of the folder they are pages of their own.
window.openPaper = async (name) => {
  const papers = new TextDecoder().decode(await insideOf(document.getElementById("paper")));
  openApart(JSON.parse(papers)[name], "text/html");
};

// ---- without a network from the second time on -----------------------------------------------------
function keepThisSite() {
  if (edition.inside || !("serviceWorker" in navigator)) return;
  navigator.serviceWorker.register("keeper.js", { updateViaCache: "none" }).then((keeper) => {
    const look = () => { if (keeper.waiting && navigator.serviceWorker.controller) newer(keeper.waiting); };
    const watch = () => keeper.installing && keeper.installing.addEventListener("statechange", look);
    look();
    watch();                    // it may have begun before anybody listened
    keeper.addEventListener("updatefound", watch);
    keeper.update().catch(() => {});   // ask now: the browser's own look comes late
  }).catch(() => {});           // not on this host: the pages work all the same
}
function newer(waiting) {
  if (document.querySelector(".newer.of-site")) return;
  const button = document.createElement("button");
  button.className = "solid";
  button.textContent = "open the newer pages";
  button.onclick = () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
    waiting.postMessage("take over");
  };
  const node = document.createElement("p");
  node.className = "warnings newer of-site";
  node.setAttribute("role", "status");
  node.append("There is a newer edition of these pages; what you wrote stays. ", button);
  document.querySelector("main").before(node);
}
