// Compile a library with the browser's own Python, so that no notebook has to, and load it once:
// node compile_library.mjs PYTHON LIBRARY
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [home, library] = process.argv.slice(2).map((path) => resolve(path));
const PACKAGES = "/lib/python3.14/site-packages";
// Of a Python that fails, its last line is the reason.
process.on("uncaughtException", (error) => {
  console.error(String(error.message ?? error).trim().split("\n").pop());
  process.exit(1);
});
const { loadPyodide } = await import(pathToFileURL(join(home, "pyodide.mjs")));
const python = await loadPyodide({ indexURL: home });
python.FS.writeFile("/library.zip", readFileSync(library));
python.runPython(`
import zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

with (
    zipfile.ZipFile("/library.zip") as plain,
    zipfile.ZipFile("/compiled.zip", "w", zipfile.ZIP_DEFLATED, compresslevel=9) as compiled,
):
    for info in plain.infolist():
        name, text = info.filename, plain.read(info)
        if name.endswith(".py"):
            code = compile(text, f"${PACKAGES}/{name}", "exec", dont_inherit=True)
            name, text = f"{name}c", bytes(_code_to_hash_pyc(code, bytes(8), False))
        compiled.writestr(zipfile.ZipInfo(name), text, zipfile.ZIP_DEFLATED)
`);
const compiled = python.FS.readFile("/compiled.zip");
python.unpackArchive(compiled.slice(), "zip", { extractDir: PACKAGES });
python.runPython(`
import importlib
importlib.invalidate_caches()
import IPython, ipywidgets, piplite, enginemath.lesson, enginemath.panels
`);
writeFileSync(join(home, "library.zip"), compiled);
