"use strict";
// The parts of a step: each is opened by its title, one at a time.

// A step's parts: each is opened by its title, one at a time, and brings its own picture.
const opened = new Map();      // which part of a step is open
const pictureOf = (step) => (step.parts.length && step.parts[partOf(step) - 1].picture) || step.picture;
function partOf(step) {
  if (step.parts.length && !opened.has(step.step)) opened.set(step.step, firstUndone(step));   // a verdict turns no page
  return opened.get(step.step) || 0;
}
function firstUndone(step) {
  const place = step.parts.findIndex((each, part) => step.boxes.some((box) => box.part === part + 1) && !isRight(step, part + 1));
  return place < 0 ? Math.min(1, step.parts.length) : place + 1;
}
function isRight(step, part) {
  const keys = step.boxes.filter((box) => box.part === part).map((box) => box.key);
  const judged = step.verdicts.filter((each) => each.boxes.some((key) => keys.includes(key)));
  return judged.length > 0 && judged.every((each) => ["right", "follows"].includes(each.kind));
}
function parts(step) {
  return step.parts.map((each, place) => {
    const part = place + 1, id = `part-${step.step}-${part}`;
    const head = make("button", { type: "button", "aria-controls": id, onclick: () => openPart(step, part) }, each.title, make("span", { class: "mark" }));
    return make("div", { class: "part", "data-part": part }, make("h3", {}, head),
      make("div", { id, class: "body" }, text(step, each.text), onPaper(step, part), boxes(step, part), working(step, part)));
  });
}
function openPart(step, part) {
  opened.set(step.step, part);
  showParts(step);
  showFigure();
  const first = $(`[data-part="${part}"] .body :is(input, textarea)`, section(step.step));
  if (first && !projector) first.focus({ preventScroll: true });
}
function showParts(step) {
  if (!step.parts.length) return;
  const at = section(step.step);
  $(".text", at).hidden = partOf(step) > 1;              // what all parts have in common is read once
  for (const node of $$(".part", at)) {
    const part = Number(node.dataset.part), open = part === partOf(step), right = isRight(step, part);
    $(".body", node).hidden = !open;
    if (open) { const last = $(".body", node); if ($(".seat", at).parentNode !== last) last.append($(".saying", at), $(".seat", at)); }
    put($("button", node), "aria-expanded", open);
    $(".mark", node).textContent = right ? " ✓" : "";
    node.classList.toggle("right", right);
  }
}
