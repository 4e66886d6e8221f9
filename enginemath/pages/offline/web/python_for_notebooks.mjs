// The notebooks' Python: with the kit and all that a notebook needs in it, from this folder alone.
import { loadPyodide as load, version } from "./pyodide.mjs";
export { version };
const home = new URL(".", import.meta.url).href;
export async function loadPyodide({ packages, ...settings }) {
  const library = fetch(`${home}library.zip`).then((answer) => answer.arrayBuffer());
  const python = await load({ ...settings, indexURL: home, packages: [] });
  python.unpackArchive(await library, "zip", { extractDir: "/lib/python3.14/site-packages" });
  python.runPython("import importlib; importlib.invalidate_caches()");
  return python;
}
