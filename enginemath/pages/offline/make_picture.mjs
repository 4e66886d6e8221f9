// Compile the standard library and the kit's with the browser's own Python, and take a picture of its
// memory with the kit loaded: node make_picture.mjs EDITION LIBRARY SCRIPT...
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { pathToFileURL } from "node:url";

const [edition, library, ...scripts] = process.argv.slice(2).map((path) => resolve(path));
const STANDARD = "python_stdlib.zip";
const { PACKAGES, layFiles, packFiles, packPicture } = new Function(
  `${scripts.map((path) => readFileSync(path, "utf8")).join("\n")}; return { PACKAGES, layFiles, packFiles, packPicture }`)();
process.argv.length = 1;          // so that Python's name is the same here as in a browser
// Of a Python that fails, its last line is the reason.
process.on("uncaughtException", (error) => {
  console.error(String(error.message ?? error).trim().split("\n").pop());
  process.exit(1);
});
const { loadPyodide } = await import(pathToFileURL(join(edition, "pyodide.mjs")));
const { default: createPyodideModule } = await import(pathToFileURL(join(edition, "pyodide.asm.mjs")));

// What is compiled here need not be compiled in any page; a hash in place of a time keeps it alike
// in every build. Pyodide's own part speaks to its machine code through its docstrings.
const compiler = await loadPyodide({ indexURL: edition, env: { PYTHONNODEBUGRANGES: "1" } });
compiler.FS.writeFile("/library.zip", readFileSync(library));
compiler.runPython(`
import pathlib, sys, zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

standard = next(path for path in sys.path if path.endswith(".zip"))

def compiled(name, text, place):
    kept = 0 if name.startswith(("_pyodide", "pyodide")) else 2
    code = compile(text, f"{place}/{name}", "exec", dont_inherit=True, optimize=kept)
    return bytes(_code_to_hash_pyc(code, bytes(8), False))

with (
    zipfile.ZipFile(standard) as plain,
    zipfile.ZipFile("/standard", "w", zipfile.ZIP_DEFLATED, compresslevel=9) as code,
):
    for info in plain.infolist():
        name, text = info.filename, plain.read(info)
        if name.endswith(".py"):
            name, text = f"{name}c", compiled(name, text, standard)
        code.writestr(zipfile.ZipInfo(name), text, zipfile.ZIP_DEFLATED, 9)
with zipfile.ZipFile("/library.zip") as plain:
    for info in plain.infolist():
        name, text = info.filename, plain.read(info)
        if name.endswith(".py"):
            name, text = f"{name}c", compiled(name, text, "${PACKAGES}")
        path = pathlib.Path("/library", name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)
`);
writeFileSync(join(edition, STANDARD), compiler.FS.readFile("/standard"));
const names = compiler.runPython(`
import json
json.dumps(sorted(str(path.relative_to("/library")) for path in pathlib.Path("/library").rglob("*") if path.is_file()))
`);
const all = JSON.parse(names).map((name) => [name, compiler.FS.readFile(`/library/${name}`)]);

const python = await loadPyodide({ indexURL: edition, _makeSnapshot: true });
layFiles(python, joined(packFiles(new Map(all))));
python.runPython(`
from enginemath.pages.offline import in_worker
in_worker.get_ready()
`);
const loaded = new Set(JSON.parse(python.runPython(`
import json, sys
json.dumps([str(getattr(module, "__file__", "")) for module in list(sys.modules.values())])
`)).map((path) => path.replace(`${PACKAGES}/`, "")));
clear(python._module);
pack("memory", packPicture(python._module, python.makeMemorySnapshot(), await freshMemory()));
const kinds = { data: ([name]) => !name.endsWith(".pyc"), code: ([name]) => loaded.has(name), late: ([name]) => name.endsWith(".pyc") && !loaded.has(name) };
for (const [name, kind] of Object.entries(kinds)) pack(name, packFiles(new Map(all.filter(kind))));

function joined(parts) {
  return new Uint8Array(Buffer.concat(parts.map((part) => Buffer.from(part.buffer, part.byteOffset, part.byteLength)))).buffer;
}
// Packed, and not called .gz: some hosts unpack what is called that before they send it.
function pack(name, parts) {
  writeFileSync(join(edition, `${name}.bin`), gzipSync(joined(parts), { level: 9 }));
}

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

// The memory of a Python that has not begun.
async function freshMemory() {
  const stop = new Error("as far as this"), head = new Uint8Array(64);
  let fresh = null;
  const make = async (given) => {
    fresh = (await createPyodideModule(given)).HEAPU8.slice();
    throw stop;
  };
  await loadPyodide({ indexURL: edition, createPyodideModule: make, _loadSnapshot: head }).catch((error) => {
    if (error !== stop) throw error;
  });
  return fresh;
}
