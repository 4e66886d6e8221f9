"use strict";
// The drawing: put in place of the last, with its hatches, its count and its ring.

// A part's name in a text carries the part's hatch.
function hatchNames() {
  const view = panels.get(panelNow());
  for (const name of view && view.large ? $$("section .text strong:not(.key)") : []) {
    const part = (view.settings.find((each) => each.part && each.name.startsWith(name.textContent)) || {}).part
      || (view.settings.some((each) => each.part === name.textContent) && name.textContent);
    const hatch = part && $(`.picture [id$="-hatch-${CSS.escape(part)}"]`);
    if (!hatch) continue;
    name.className = "key";
    name.insertAdjacentHTML("afterbegin", `<svg aria-hidden="true"><rect width="15" height="15" fill="url(#${hatch.id})"/></svg>`);
  }
}
// The count before the eyes: each slice goes from the small space to its place in the big one.
function countUp() {
  const svg = $(".picture .em-counting"), from = svg && $(".em-part-small-space", svg);
  if (!from || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
  const slices = [[]], numbers = $$(".em-count", svg);
  for (let each = $(".em-big-space", svg).nextElementSibling; each && /^em-(slice|number)/.test(each.getAttribute("class")); each = each.nextElementSibling) {
    const begins = /^em-slice-/.test(each.getAttribute("class")), last = slices[slices.length - 1];
    if (begins && last.some((one) => one.getAttribute("class") === "em-slice")) slices.push([each]);
    else last.push(each);
  }
  const gap = Math.min(450, 6000 / slices.length), total = gap * slices.length + 300;
  slices.forEach((slice, place) => {
    const box = slice.find((each) => each.getAttribute("class") === "em-slice").getBBox();
    const own = numbers.filter((each) => { const y = Number(each.getAttribute("y")); return y > box.y && y <= box.y + box.height + 4; });
    const across = from.cx.baseVal.value - box.x - box.width / 2, down = from.cy.baseVal.value - box.y;
    const way = [{ transform: `translate(${across}px, ${down}px)`, opacity: 0 }, { opacity: 1, offset: 0.15 }, { transform: "none", opacity: 1 }];
    for (const each of [...slice, ...own]) each.animate(way, { duration: gap + 250, delay: gap * place, fill: "backwards", easing: "ease-in-out" });
  });
  for (const each of $$(".em-said, .em-said-of, .em-marker", svg)) each.animate([{ opacity: 0 }, { opacity: 0 }], total);
  document.body.classList.add("counting");
  setTimeout(() => document.body.classList.remove("counting"), total);
}
// A drawing comes whole at each change; its handles stay, with the focus that they have.
const parser = new DOMParser();
function drawing(place, view) {
  const svg = document.adoptNode(parser.parseFromString(view.svg, "image/svg+xml").documentElement);
  svg.removeAttribute("style");
  const old = place.firstElementChild, held = old && $(".em-handles", old), fresh = $(".em-handles", svg);
  if (!held || !fresh) { place.replaceChildren(svg); return; }
  for (const { name, value } of svg.attributes) put(old, name, value);
  const kept = new Map([...held.children].map((each) => [each.dataset.handle, each]));
  for (const each of [...fresh.children]) {
    const same = kept.get(each.dataset.handle);
    if (!same) { held.append(each); continue; }
    kept.delete(each.dataset.handle);
    for (const { name, value } of each.attributes) put(same, name, value);
    if (same.innerHTML !== each.innerHTML) same.innerHTML = each.innerHTML;
  }
  kept.forEach((gone) => gone.remove());
  const rest = (from, without) => [...from.childNodes].filter((each) => each !== without);
  renewAll(old, rest(old, held), rest(svg, fresh));
}
// What is the same stays; only what has changed is laid out and painted again.
function renew(old, fresh) {
  if (old.isEqualNode(fresh)) return old;
  if (old.nodeName !== fresh.nodeName || !old.attributes) { old.replaceWith(fresh); return fresh; }
  for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name)) old.removeAttribute(name);
  for (const { name, value } of fresh.attributes) put(old, name, value);
  renewAll(old, [...old.childNodes], [...fresh.childNodes]);
  return old;
}
function renewAll(place, old, fresh) {
  const both = Math.min(old.length, fresh.length);
  let last = null;
  for (let at = 0; at < both; at++) last = renew(old[at], fresh[at]);
  old.slice(both).forEach((gone) => gone.remove());
  if (last) last.after(...fresh.slice(both));
  else place.prepend(...fresh.slice(both));
}
// A ring at the place that a verdict speaks of.
function ring() {
  $$("figure .look-here").forEach((each) => each.remove());
  const step = steps.get(now), svg = $("figure.full .still svg") || $(".picture svg");
  const ours = step ? step.boxes.filter((box) => !box.part || box.part === partOf(step)).map((box) => box.key) : [];
  const place = step && step.verdicts.filter((each) => each.kind === "mistake" && each.boxes.some((key) => ours.includes(key))).map((each) => each.place).filter(Boolean).pop();
  const spot = place && svg && $(`.em-part-${CSS.escape(place.replaceAll(" ", "-"))}`, svg);
  if (!spot) return;
  const mark = spot.cloneNode();
  mark.setAttribute("class", "look-here");
  for (const name of ["stroke", "fill"]) mark.removeAttribute(name);
  spot.after(mark);
}
