"use strict";
// Python in the page's own worker. Nothing is asked of another host: every file is named and has its
// hash in the list of this edition, or lies in the page itself.

const KINDS = { mjs: "text/javascript", wasm: "application/wasm" };
const fromNetwork = self.fetch.bind(self);
const times = {};
const begun = performance.now();
const at = (what) => { times[what] = Math.round(performance.now() - begun); };
self.importScripts = undefined;            // so that Python's own script loads by import()

// The page says, in any order: where the edition is; each part that lies in the page; the student's
// work, once it is read; then what is to be done.
let host = null, layRest = null, laid = null, complete = false, heard = 0;
const waiting = [], inside = new Map();
const work = later();
onmessage = ({ data }) => {
  heard = performance.now();
  if (data.start) start(data.start).catch(({ message, stack }) => postMessage({ failed: message, stack }));
  else if (data.part) part(data.part).give(data);
  else if (data.complete) {
    complete = true;
    for (const { give } of inside.values()) give(null);
  }
  else if (data.work) work.give(data);
  else if (host) inTurn(data);
  else waiting.push(data);
};
function later() {
  const made = {};
  made.given = new Promise((give) => { made.give = give; });
  return made;
}
function part(name) {
  if (!inside.has(name)) inside.set(name, later());
  if (complete) inside.get(name).give(null);
  return inside.get(name);
}

const inTurn = (data) => laid ? laid.then(() => take(data)) : take(data);
function take(data) {
  if (data.files) host.changed_elsewhere(JSON.stringify(data.files));
  else {
    const before = performance.now();
    const [files, ...told] = host.take(data.message).split("\n");
    postMessage({ told, files: JSON.parse(files), work: performance.now() - before });
    if (layRest) { laid = layRest().catch(({ message }) => postMessage({ failed: message })); layRest = null; }
  }
}

// A file of this edition: out of the page, or from beside it, whole or not at all.
function filesOf({ base, hashes }) {
  return async (name) => {
    const kind = { headers: { "Content-Type": KINDS[name.split(".").pop()] || "application/octet-stream" } };
    if (!base) {
      const given = await part(name).given;
      if (!given) throw new Error(`a part of this file is missing (${name})`);
      inside.delete(name);
      return new Response(given.packed ? inflated(new Response(given.bytes)) : given.bytes, kind);
    }
    let answer;
    try {
      answer = await fromNetwork(base + name, { integrity: hashes[name] });
    } catch {
      throw new Error(`the file ${name} of this site cannot be had, or is not whole`);
    }
    if (!answer.ok) throw new Error(`the file ${name} of this site is missing`);
    const told = answer.headers.get("Content-Type") || "";       // many a host does not know what machine code is
    return name.endsWith(".wasm") && !told.startsWith(KINDS.wasm) ? new Response(answer.body, kind) : answer;
  };
}
const inflated = (answer) => answer.body.pipeThrough(new DecompressionStream("gzip"));
async function unpacked(asked) {
  const answer = await asked, packed = answer.headers.get("Content-Encoding") === null;   // else the browser has unpacked it
  return new Response(packed ? inflated(answer) : answer.body).arrayBuffer();
}

async function start(edition) {
  const file = filesOf(edition), early = (name) => { const asked = file(name); asked.catch(() => {}); return asked; };
  const script = async (name) => {
    const address = URL.createObjectURL(new Blob([await (await file(name)).arrayBuffer()], { type: KINDS.mjs }));
    const refused = () => { throw new Error("this browser is too old for these pages: its workers take no modules. Take one of 2023 or later"); };
    return import(address).catch(refused).finally(() => URL.revokeObjectURL(address));   // its hash was right
  };
  // All at once, the longest way first: the machine code, then the scripts, then the picture of the memory.
  const compiled = WebAssembly.compileStreaming(file("pyodide.asm.wasm"));
  compiled.catch(() => {});
  const scripts = Promise.all([script("pyodide.mjs"), script("pyodide.asm.mjs"), file("pyodide-lock.json").then((answer) => answer.text())]);
  const picture = edition.ordinary ? null : unpacked(file("memory.bin")).catch(() => null);
  const [data, code, rest] = ["data.bin", "code.bin", "late.bin"].map(early);
  const standard = early("python_stdlib.zip").then((answer) => answer.arrayBuffer());
  standard.catch(() => {});
  const [{ loadPyodide }, { default: make }, list] = await scripts;
  at("scripts");
  // What pyodide itself asks for is here already.
  const asked = { "python_stdlib.zip": async () => new Response(await standard), "pyodide.asm.wasm": () => new Response() };
  self.fetch = async (address) => asked[String(address.url ?? address).split("/").pop()]();
  WebAssembly.instantiateStreaming = async (_, imports) => {
    const module = await compiled;
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
  const settings = { indexURL: edition.base || "https://page.invalid/", lockFileContents: list, createPyodideModule: make };
  const memory = await picture;
  await Promise.all([compiled, standard, data, code, rest]);   // Python itself would wait for a missing file for ever
  at("picture");
  let python = memory && await fromPicture(loadPyodide, settings, memory).catch(({ message }) => { times.refused = message; });
  const asPictured = Boolean(python);
  times.start = asPictured ? "picture" : "ordinary";
  python = python || await loadPyodide(settings);
  at("python");
  layFiles(python, await unpacked(data));
  if (!asPictured) for (const packed of [code, rest]) layFiles(python, await unpacked(packed));
  at("library");
  const { Host } = python.pyimport("enginemath.pages.offline.in_worker"), { work: files, projector } = await work.given;
  host = Host(JSON.stringify(files), projector, (text) => postMessage({ told: [text], files: {} }));
  at("ready");
  postMessage({ ready: times });
  // What the first picture does not need is laid out behind it; what is asked for next waits for that.
  if (asPictured) {
    layRest = async () => {
      await new Promise((done) => setTimeout(done, 0));
      layFiles(python, await unpacked(rest));
    };
  }
  waiting.splice(0).forEach(inTurn);
  if (asPictured) (await code).body.cancel();
  await practise().catch(() => {});        // without it all is there, and slower
  postMessage({ practised: true });
}

// While the student looks at the first picture, Python gets quick: at the pace of a hand, as the browser
// compiles beside it, and not while a hand is at work.
async function practise() {
  const rest = () => heard + 300 - performance.now();
  const quiet = async () => { do await new Promise((done) => setTimeout(done, Math.max(rest(), 20))); while (rest() > 0); };
  await quiet();
  await laid;
  for (const _ of host.practice()) await quiet();
}

// The picture lies in Python's memory before pyodide looks at it: pyodide is given its head alone.
function fromPicture(loadPyodide, settings, picture) {
  const head = new Uint8Array(new Int32Array(picture, 0, 4)[2]);
  const make = async (given) => {
    const module = await settings.createPyodideModule(given);
    head.set(layPicture(module, picture));
    letGo(picture);                          // the memory holds it now
    return module;
  };
  return loadPyodide({ ...settings, createPyodideModule: make, _loadSnapshot: head });
}

// At once, not when the browser next clears up: sent where nobody hears.
function letGo(buffer) {
  const { port1, port2 } = new MessageChannel();
  port2.close();
  port1.postMessage(null, [buffer]);
  port1.close();
}
