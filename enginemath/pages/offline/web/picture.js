// A picture of Python's memory as it is packed: only what a new Python does not hold by itself.
//
// Four words: bytes of the memory, how many runs, bytes of the head, nothing. The head, as pyodide
// writes it. Each run's first word and its length. The words of all runs.

const RUN_ENDS = 1024;            // as many noughts are left out of a memory that is empty at the start

// Lay a picture over the memory of a new Python; gives the head.
function layPicture(module, picture) {
  const [bytes, count, long] = new Int32Array(picture, 0, 4);
  const lacks = bytes - module.HEAPU8.length;
  if (lacks > 0 && !module.growMemory(module.HEAPU8.length + lacks)) throw new Error("there is not enough memory");
  module.HEAPU8.fill(0, module.___heap_base, module._sbrk(0));
  const runs = new Int32Array(picture, 16 + long, 2 * count), words = new Int32Array(picture, 16 + long + 8 * count);
  for (let run = 0, from = 0; run < 2 * count; run += 2) module.HEAP32.set(words.subarray(from, from += runs[run + 1]), runs[run]);
  return new Uint8Array(picture.slice(16, 16 + long));
}

// Pack a picture, as pyodide makes it, for a Python that begins with the memory `fresh`. What is
// filled at the start keeps, word by word, what the browser has put there; the rest is empty.
function packPicture(module, whole, fresh) {
  const wordsOf = (bytes) => new Int32Array(bytes.buffer, bytes.byteOffset, bytes.byteLength >> 2);
  const long = wordsOf(whole)[1], filled = module._emscripten_stack_get_end() >> 2;
  const bytes = Math.ceil(module._sbrk(0) / 65536) * 65536;
  const memory = wordsOf(whole.subarray(long, long + bytes)), before = wordsOf(fresh);
  const runs = [], parts = [];
  for (let word = 0; word < memory.length;) {
    const kept = (at) => at < filled ? memory[at] === before[at] : memory[at] === 0;
    while (word < memory.length && kept(word)) word++;
    if (word === memory.length) break;
    let end = word + 1;
    for (let at = end; at < memory.length && at - end < (at < filled ? 1 : RUN_ENDS); at++) if (!kept(at)) end = at + 1;
    runs.push(word, end - word);
    parts.push(memory.subarray(word, end));
    word = end;
  }
  return [Int32Array.of(bytes, parts.length, long, 0), whole.subarray(0, long), Int32Array.from(runs), ...parts];
}
