"use strict";
// A student's own sheet of a class set. All lie in these pages, sealed: the key of one is made from the
// student's id and the words on their slip, and nothing here says whose is which.

// The same letters make the same key, however they were typed.
const asSaid = (text) => text.normalize("NFKC").toLowerCase();
async function keyOf(id, words, salt, rounds, use) {
  const letters = new TextEncoder();
  const typed = letters.encode(asSaid(words).split(/[^\p{L}]+/u).filter(Boolean).join(" "));
  const whose = letters.encode(asSaid(id).trim().replace(/\s+/g, " "));
  const secret = await crypto.subtle.importKey("raw", typed, "PBKDF2", false, ["deriveKey"]);
  const made = { name: "PBKDF2", hash: "SHA-256", salt: new Uint8Array([...salt, ...whose]), iterations: rounds };
  return crypto.subtle.deriveKey(made, secret, { name: "AES-GCM", length: 256 }, false, [use]);
}
const fromBase64 = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));

// The student's id, name and files; null where no sheet opens.
async function unsealed(sealed, id, words) {
  const key = await keyOf(id, words, fromBase64(sealed.salt), sealed.rounds, "decrypt");
  for (const [start, sheet] of sealed.sheets) {
    let plain;
    try {
      plain = await crypto.subtle.decrypt({ name: "AES-GCM", iv: fromBase64(start) }, key, fromBase64(sheet));
    } catch { continue; }                         // another student's
    const size = new DataView(plain).getUint32(0);
    return JSON.parse(new TextDecoder().decode(await unpacked(plain.slice(4, 4 + size))));
  }
  return null;
}

async function sealedSheets() {
  const inside = document.getElementById("sheets");
  if (inside) return JSON.parse(new TextDecoder().decode(await unpacked(unlettered(inside.textContent, Number(inside.dataset.size)))));
  const answer = await fetch(`${edition.name}/${edition.sheets}`, { integrity: edition.hashes[edition.sheets] });
  if (!answer.ok) throw new Error(String(answer.status));
  return answer.json();
}

// On the map: where a student opens their sheet.
function askForSheet(map, line) {
  if (!edition.sheets || line.projector) return;
  const id = make("input", { type: "text", name: "sheet of", autocomplete: "off", maxlength: 100 });
  const words = make("input", { type: "text", name: "sheet words", autocomplete: "off", autocapitalize: "none", spellcheck: "false", maxlength: 200 });
  const said = make("p", { class: "said", role: "status" }), button = make("button", { class: "solid line" }, "open my sheet");
  id.value = map.student.id;
  const open = async () => {
    button.disabled = true;
    said.textContent = "one moment";
    said.textContent = await openSheet(id.value, words.value, line).catch(() =>
      "the sheets of this site cannot be had, or are not whole: tell whoever gave you these pages");
    button.disabled = false;
  };
  const form = make("form", { class: "open-sheet", onsubmit: (event) => { event.preventDefault(); open(); } },
    make("label", {}, "my id ", id), make("label", {}, "the words on my slip ", words), button, said);
  const more = make("details", { open: !map.sheets.length }, make("summary", {}, map.sheets.length ? "Another sheet" : "My sheet"), form);
  document.querySelector(".steps nav").before(more);
}
// What is said in the end; empty where the sheet is open.
async function openSheet(id, words, line) {
  if (!id.trim() || !words.trim()) return "write your id, and the words on your slip";
  if (!crypto.subtle) return "sheets open only where the address begins with https, and in the one file";
  const theirs = await unsealed(await sealedSheets(), id, words);
  if (!theirs) return "no sheet opens with this id and these words: compare both with your slip";
  await line.give(theirs.files);
  remember("enginemath-student", theirs.id);
  talk({ do: "who", name: theirs.name, id: theirs.id });
  return "";
}
