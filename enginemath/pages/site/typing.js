"use strict";
// What is typed stays where it is typed, whatever is shown anew around it.

const typed = new Map();       // what stands in a box and is not yet kept, by step and box
let typedIn = "";              // the lesson that it stands in
let anew = false;              // while steps are put in the place of older ones, nobody has left a box
// Another lesson has other boxes, and other parts open.
function beginTyping(name) {
  if (typedIn !== name) { typed.clear(); opened.clear(); }
  typedIn = name;
}
// A box that is typed in: what stands there stays, whatever is shown anew, and is sent when it is left.
function holdTyped(input, key, text, send) {
  let sent = null;
  input.value = typed.get(key) ?? text;
  input.addEventListener("input", () => typed.set(key, input.value));
  const leave = () => {
    if (anew || !typed.has(key) || sent === input.value) return;
    sent = input.value;
    send();
  };
  input.addEventListener("change", leave);
  input.addEventListener("blur", leave);
}
// The box that is in hand when a lesson is shown anew, and where in it one types.
let inHand = null;
function rememberHand() {
  const on = document.activeElement;
  if (!on.name || !on.closest("section[data-step], .board")) return;
  inHand = { name: on.name, from: on.selectionStart, to: on.selectionEnd };
  setTimeout(() => { inHand = null; }, 1000);
}
function takeInHand() {
  const [same] = inHand ? boxesNamed(inHand.name) : [];
  if (!same || same.readOnly || same === document.activeElement) return;
  same.focus({ preventScroll: true });
  same.setSelectionRange(inHand.from, inHand.to);
}
// A text in a table is kept; what was said beside it goes.
function readingKept({ step: number, box }) {
  const step = steps.get(number), key = `${number} reading ${box}`;
  if (!step || typed.get(key) !== step.readings[box]) return;
  typed.delete(key);
  for (const each of boxesNamed(`reading ${box}`)) each.parentNode.querySelector(".verdict")?.remove();
}
