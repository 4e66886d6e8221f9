"use strict";
// Before it is printed every step and part is open: a browser may print a box empty that it never laid out.

addEventListener("beforeprint", () => {
  if (!lesson) return;
  for (const node of $$("section[hidden]")) node.style.animation = "none";
  for (const node of $$("section, .part .body")) node.hidden = false;
  document.body.getBoundingClientRect();
});
addEventListener("afterprint", () => {
  if (!lesson) return;
  for (const node of $$("section")) {
    node.hidden = Number(node.dataset.step) !== now;
    if (node.hidden) node.style.animation = "";
  }
  steps.forEach(showParts);
});
