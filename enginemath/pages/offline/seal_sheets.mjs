// Seal each student's files with a key made from their id and the words of their slip. All become of
// one length: how long a sheet is tells nothing.
import { readFileSync } from "node:fs";
import { webcrypto } from "node:crypto";
import { runInThisContext } from "node:vm";
import { gzipSync } from "node:zlib";

globalThis.crypto ??= webcrypto;
runInThisContext(readFileSync(new URL("web/sheets.js", import.meta.url), "utf8"));
const base64 = (bytes) => Buffer.from(bytes).toString("base64");
const random = (size) => crypto.getRandomValues(new Uint8Array(size));

const { rounds, given } = JSON.parse(readFileSync(0, "utf8"));
const salt = random(16);
const packed = given.map(({ id, name, files }) => gzipSync(JSON.stringify({ id, name, files }), { level: 9 }));
const longest = Math.max(...packed.map(({ length }) => length));
const sheets = await Promise.all(given.map(async ({ id, words }, place) => {
  const plain = new Uint8Array(4 + longest), start = random(12);
  new DataView(plain.buffer).setUint32(0, packed[place].length);
  plain.set(packed[place], 4);
  const key = await keyOf(id, words, salt, rounds, "encrypt");
  const sealed = await crypto.subtle.encrypt({ name: "AES-GCM", iv: start }, key, plain);
  return [start, new Uint8Array(sealed)].map(base64);
}));
sheets.sort();                                    // not in the order of the class's list
process.stdout.write(JSON.stringify({ rounds, salt: base64(salt), sheets }));
