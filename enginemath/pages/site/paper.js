"use strict";
// A lesson on paper: what stands in its steps there, and what is done to the page before it is printed.

const drawnBefore = (shown, step, part) => [...steps.values()].some((other) => other.step <= step.step && other.working.some((each) =>
  (other.step < step.step || each.part < part) && each.shown.some(({ value }) => value === shown.value)));
// On paper a result stands in its step: the figure at the right is printed once.
function onPaper(step, part = 0) {
  const ours = step.working.filter((each) => each.part === part);
  const all = ours.flatMap((each) => each.shown), pictures = all.filter((each) => each.kind !== "text");
  const shown = pictures.map((each) => drawnBefore(each, step, part) ? make("p", {}, "The picture stands above.") : still(each));
  const words = all.filter((each) => each.kind === "text").map((each) => each.value).join("\n");
  if (words) shown.push(make("pre", { class: inColumns(words) ? "columns" : "" }, held(words)));
  if (!part && step.record) shown.push(step.record.cloneNode(true));
  return shown.length ? make("div", { class: "on-paper", "aria-hidden": "true" }, ...shown) : null;
}
const cssText = (text) => `"${text.replace(/[^a-z ]/giu, (letter) => `\\${letter.codePointAt(0).toString(16).padStart(6, "0")} `)}"`;
// A box shows as much as fits into it: on paper what is written in it stands whole, and what is said of the picture above it.
function writeOut() {
  for (const { step, record } of steps.values()) if (record) $(".on-paper table", section(step))?.replaceWith(record.cloneNode(true));
  $("figure").prepend(make("p", { class: "written" }, $(".saying", section(now)).textContent));
  for (const box of $$(".steps textarea, .on-paper input")) box.after(make("p", { class: "written", dir: "auto" }, held(box.value)));
  const foot = new CSSStyleSheet();        // every page says of what and of whom it is
  foot.replaceSync(`@page { @bottom-right { content: ${cssText([document.title, lesson.student.name].filter(Boolean).join(" · "))} " · " counter(page) "/" counter(pages); } }`);
  document.adoptedStyleSheets = [foot];
}
// Every step and part is open: a browser may print a box empty that it never laid out.
function openAll() {
  for (const node of $$("section[hidden]")) node.style.animation = "none";
  for (const node of $$("section, .part .body")) node.hidden = false;
  document.body.getBoundingClientRect();
}
function backToScreen() {
  for (const node of $$("section")) {
    node.hidden = Number(node.dataset.step) !== now;
    if (node.hidden) node.style.animation = "";
  }
  steps.forEach(showParts);
}
addEventListener("beforeprint", () => {
  if (section(now)) writeOut();
  if (lesson) openAll();
});
addEventListener("afterprint", () => {
  document.adoptedStyleSheets = [];
  $$(".written").forEach((each) => each.remove());
  if (lesson) backToScreen();
});
