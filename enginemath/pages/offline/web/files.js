// Many files in one: how long the list is, the list of names and sizes, the files.

function packFiles(files) {
  const list = new TextEncoder().encode(JSON.stringify([...files].map(([name, data]) => [name, data.length])));
  return [Uint32Array.of(list.length), list, ...files.values()];
}

function* filesIn(packed) {
  const long = new Uint32Array(packed.slice(0, 4))[0];
  let from = 4 + long;
  for (const [name, size] of JSON.parse(new TextDecoder().decode(new Uint8Array(packed, 4, long)))) {
    yield [name, new Uint8Array(packed, from, size)];
    from += size;
  }
}

// Where Python looks for its packages.
const PACKAGES = "/lib/python3.14/site-packages";

function layFiles(python, packed) {
  for (const [name, data] of filesIn(packed)) {
    const path = `${PACKAGES}/${name}`;
    python.FS.mkdirTree(path.slice(0, path.lastIndexOf("/")));
    python.FS.writeFile(path, data, { canOwn: true });
  }
  python.pyimport("importlib").invalidate_caches();
}
