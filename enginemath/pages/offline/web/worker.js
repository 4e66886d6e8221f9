"use strict";
// Python in the page's own worker. Nothing is asked of another host: every file is named and has its
// hash in the list of this edition, or lies in the page itself.

const PACKAGES = "/lib/python3.14/site-packages";
const KINDS = { mjs: "text/javascript", wasm: "application/wasm" };
const fromNetwork = self.fetch.bind(self);
const times = {};
const begun = performance.now();
const at = (what) => { times[what] = Math.round(performance.now() - begun); };
self.importScripts = undefined;            // so that Python's own script loads by import()

let host = null, once = null;
const waiting = [];
onmessage = ({ data }) => {
  if (data.start) start(data).catch(({ message, stack }) => postMessage({ failed: message, stack }));
  else if (host) take(data);
  else waiting.push(data);
};

function take(data) {
  if (data.files) host.changed_elsewhere(JSON.stringify(data.files));
  else {
    const before = performance.now();
    const { told, files } = JSON.parse(host.take(data.message));
    postMessage({ told, files, work: performance.now() - before });
    if (once) { once(); once = null; }
  }
}

// A file of this edition: out of the page, or from beside it, whole or not at all.
function filesOf({ base, hashes, inside }) {
  return async (name) => {
    if (inside) {
      if (!inside[name]) throw new Error(`a part of this file is missing (${name})`);
      return new Response(inside[name], { headers: { "Content-Type": KINDS[name.split(".").pop()] || "application/octet-stream" } });
    }
    let answer;
    try {
      answer = await fromNetwork(base + name, { integrity: hashes[name] });
    } catch {
      throw new Error(`the file ${name} of this site cannot be had, or is not whole`);
    }
    if (!answer.ok) throw new Error(`the file ${name} of this site is missing`);
    return answer;
  };
}

async function start({ start: edition, work, projector }) {
  const file = filesOf(edition);
  const bytes = async (name) => (await file(name)).arrayBuffer();
  const script = async (name) => import(URL.createObjectURL(new Blob([await bytes(name)], { type: KINDS.mjs })));
  // All at once, the longest way first: the machine code, then the picture of the memory.
  const compiled = WebAssembly.compileStreaming(file("pyodide.asm.wasm"));
  const picture = edition.ordinary ? null : unpacked(file("memory.gz")).catch(() => null);
  const early = { "python_stdlib.zip": file("python_stdlib.zip") };
  const code = unpacked(file("code.gz")), data = unpacked(file("data.gz"));
  const whole = Promise.all([compiled, early["python_stdlib.zip"], code, data]);
  whole.catch(() => {});
  const [{ loadPyodide }, { default: make }, list] = await Promise.all([
    script("pyodide.mjs"), script("pyodide.asm.mjs"), file("pyodide-lock.json").then((answer) => answer.text())]);
  at("scripts");
  self.fetch = async (address) => {
    const name = String(address.url ?? address).split("/").pop(), begun = early[name];
    delete early[name];
    return begun || file(name);
  };
  WebAssembly.instantiateStreaming = async (_, imports) => {
    const module = await compiled;
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
  const settings = { indexURL: edition.base || "https://page.invalid/", lockFileContents: list, createPyodideModule: make };
  const memory = await picture;
  await whole;                               // Python itself would wait for a missing file for ever
  at("picture");
  let python = memory && await fromPicture(loadPyodide, settings, memory).catch(({ message }) => { times.refused = message; });
  const asPictured = Boolean(python);
  times.start = asPictured ? "picture" : "ordinary";
  python = python || await loadPyodide(settings);
  at("python");
  const lay = async (files) => {
    python.unpackArchive(await files, "zip", { extractDir: PACKAGES });
    python.runPython("import importlib; importlib.invalidate_caches()");
  };
  await lay(data);
  if (!asPictured) await lay(code);
  at("library");
  const { Host } = python.pyimport("enginemath.pages.offline.in_worker");
  host = Host(JSON.stringify(work), projector, (text) => postMessage({ told: [text], files: {} }));
  at("ready");
  postMessage({ ready: times });
  waiting.splice(0).forEach(take);
  // What the first picture does not need is laid out behind it.
  if (asPictured) once = () => setTimeout(() => lay(code).catch(({ message }) => postMessage({ failed: message })), 0);
}

async function unpacked(asked) {
  const answer = await asked;
  const packed = answer.headers.get("Content-Encoding") === null;   // else the browser has unpacked it
  const stream = packed ? answer.body.pipeThrough(new DecompressionStream("gzip")) : answer.body;
  return new Response(stream).arrayBuffer();
}

// The picture lies in Python's memory before pyodide looks at it: it is given the picture's head alone.
function fromPicture(loadPyodide, settings, picture) {
  const head = new Uint8Array(new Int32Array(picture, 0, 4)[2]);
  const make = async (given) => {
    const module = await settings.createPyodideModule(given);
    head.set(layPicture(module, picture));
    return module;
  };
  return loadPyodide({ ...settings, createPyodideModule: make, _loadSnapshot: head });
}
