// Compile the kit's libraries with the browser's own Python, and take a picture of its memory with
// the kit loaded: node make_picture.mjs PYODIDE LIBRARY OUT
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { pathToFileURL } from "node:url";

const [pyodide, library, out] = process.argv.slice(2).map((path) => resolve(path));
const PACKAGES = "/lib/python3.14/site-packages";
// Of a Python that fails, its last line is the reason.
process.on("uncaughtException", (error) => {
  console.error(String(error.message ?? error).trim().split("\n").pop());
  process.exit(1);
});
const { loadPyodide } = await import(pathToFileURL(join(pyodide, "pyodide.mjs")));

// Noughts over what was freed, as far as there is room: they pack better than what lay there.
function clear(module) {
  const held = [];
  for (let size = 1 << 16; size >= 16; size >>= 1) {
    for (;;) {
      const top = module._sbrk(0), place = module._calloc(1, size);
      held.push(place);
      if (module._sbrk(0) !== top) break;
    }
  }
  held.forEach((place) => module._free(place));
}

// What is compiled here need not be compiled in any page; a hash in place of a time keeps it alike
// in every build.
const compiler = await loadPyodide({ indexURL: pyodide });
compiler.FS.writeFile("/library.zip", readFileSync(library));
compiler.runPython(`
import zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

with (
    zipfile.ZipFile("/library.zip") as plain,
    zipfile.ZipFile("/code", "w") as compiled,
    zipfile.ZipFile("/data", "w") as data,
):
    for info in plain.infolist():
        name, text, packed = info.filename, plain.read(info), data
        if name.endswith(".py"):
            code = compile(text, f"${PACKAGES}/{name}", "exec", dont_inherit=True, optimize=2)
            name, text, packed = f"{name}c", bytes(_code_to_hash_pyc(code, bytes(8), False)), compiled
        packed.writestr(zipfile.ZipInfo(name), text)
`);
const pack = (name, data) => writeFileSync(join(out, `${name}.gz`), gzipSync(data, { level: 9 }));
const packed = ["code", "data"].map((name) => {
  const data = compiler.FS.readFile(`/${name}`);
  pack(name, data);
  return data;
});

const python = await loadPyodide({ indexURL: pyodide, _makeSnapshot: true });
for (const data of packed) python.unpackArchive(data.slice(), "zip", { extractDir: PACKAGES });
python.runPython(`
import gc, importlib
importlib.invalidate_caches()
from enginemath.pages.offline import in_worker
in_worker.get_ready()
gc.collect()
`);
clear(python._module);
const memory = python.makeMemorySnapshot();
pack("memory", memory);
console.log(JSON.stringify({ memory: memory.length }));
