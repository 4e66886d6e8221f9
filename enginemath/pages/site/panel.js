"use strict";
// The panel at the right: its picture, its settings, its words.

function panelNow() {
  const open = [...panels.keys()].sort((a, b) => a - b);
  return open.filter((number) => number <= now).pop() || open[0];
}
function showFigure() {
  const number = panelNow(), figure = $("figure");
  if (number && figure.dataset.panel !== String(number)) {
    figure.dataset.panel = number;
    figure.replaceChildren(...panelFrame(panels.get(number)));
    fillPanel(panels.get(number));
  }
  const view = panels.get(number), picture = steps.has(now) && pictureOf(steps.get(now));
  figure.classList.toggle("large", Boolean(view && view.large));
  figure.classList.toggle("at-rest", Boolean(view) && !picture && number !== now && !free(view));
  const shows = view && picture && stateOf(number, "picture");
  if (shows && shows.shown && shows.options[shows.picked] !== picture) moving.set(number, "picture", picture);
  if (view) { sayAtLeft(view); takeFromDrawing(view); }
  waitForHand(view);
  hatchNames();
  placeResults();
  ring();
}
// A panel is touched at its own step; before it, only where nothing waits for a guess.
const free = (view) => now < view.step && view.answered;
let drawn = {};                // the panel as it was shown last
function showPanel(view) {
  const figure = $("figure"), { large, answered } = drawn;
  drawn = view;
  figure.classList.toggle("large", view.large);    // one panel may have pictures of both kinds
  if (figure.dataset.panel === String(view.step) && sameSettings(view)) fillPanel(view);
  else if (panelNow() === view.step) {
    delete figure.dataset.panel;
    showFigure();
  }
  ring();
  if (large && answered === false && view.answered) countUp();
}
let frame = "", seats = [];    // seats: what a large picture's panel has at the left, with the step
const shape = (view) => JSON.stringify(view.settings.map((each) => [each.name, each.kind, each.group]));
const sameSettings = (view) => shape(view) === frame;
function panelFrame(view) {
  frame = shape(view);
  const apart = ["projector", "reset all", ...(view.large ? ["picture"] : [])];
  const head = view.settings.filter((each) => each.where === "head" && !apart.includes(each.name));
  const beside = view.settings.filter((each) => each.where === "left"), seated = (each) => view.large && each.with_step;
  const left = beside.filter((each) => !seated(each));
  seats = beside.filter(seated).map((each) => setting(view, each));
  const reset = view.settings.find((each) => each.name === "reset all");
  const grouped = inGroups(left).map(({ name, members }) => name
    ? make("fieldset", {}, make("legend", {}, name), ...members.map((each) => setting(view, each)))
    : setting(view, members[0]));
  return [
    make("div", { class: "head" }, view.large && (head.length || left.length) ? more() : null, ...head.map((each) => setting(view, each)), reset ? setting(view, { ...reset, label: "put all back" }) : null),
    make("div", { class: "picture" }),
    make("div", { class: `touch ${left.some((each) => each.group) ? "bench" : ""}` }, ...grouped),
    make("p", { class: "refusal", role: "status" }),
    make("p", { class: "words", role: "status" }),
    make("div", { class: "notes" }),
    make("p", { class: "trouble", role: "alert" }),
  ];
}
function fillPanel(view) {
  const figure = $("figure"), inHand = seats.find((each) => each.contains(document.activeElement)) && document.activeElement;
  drawing($(".picture", figure), view);
  const handles = new Set($$(".picture [data-handle]", figure).map((each) => each.dataset.handle));
  const nodes = new Map([...$$("[data-setting]", figure), ...seats].map((node) => [node.dataset.setting, node]));
  let note = 0;
  const notes = $$("[data-note]", figure);
  for (const each of view.settings) {
    if (each.kind === "note") { const node = notes[note++]; if (node.innerHTML !== each.html) node.innerHTML = each.html; continue; }
    const node = nodes.get(each.name);
    if (node) follow(node, each, handles.has(each.name));
  }
  const words = (query, text) => { const node = $(query, figure); if (node.textContent !== text) node.textContent = text; };
  const [first, rest] = firstSentence(view.words);
  sayAtLeft(view);
  waitForHand(view);
  takeFromDrawing(view);
  hatchNames();
  besideHandle();
  nextInHand(inHand);
  words(".words", view.refusal ? "" : first);
  words(".notes", view.refusal ? "" : [rest, view.notes].filter(Boolean).join("\n"));
  words(".refusal", view.refusal);
  words(".trouble", view.trouble ? `This picture met an error; it shows the last good state. ${view.trouble}` : "");
}
function firstSentence(words) {
  if (/^\d+\. /.test(words)) return ["", words];      // a list of jobs
  const found = /^(.{20,}?[a-z)\d%]\.)\s+(.*)$/s.exec(words);
  return found ? [found[1], found[2]] : [words, ""];
}
// What is said of a large picture stands with the step that it belongs to.
function sayAtLeft(view) {
  const step = steps.get(now), node = step && section(now), place = node && $(".saying", node);
  if (!place) return;
  const covered = step.record || boardOf(step).some((each) => !["text", "html"].includes(each.kind));
  const seen = view.large && pictureOf(step) && !covered;
  const asks = step.boxes.some((box) => box.part === partOf(step)), quiet = asks || resultsOf(step);   // one thing to touch at a time
  takeSeats(seen && now >= view.step && !quiet ? $(".seat", node) : null);
  const told = seen && !view.refusal && !quiet;
  const [first, rest] = told ? firstSentence(view.words) : ["", ""];
  const says = held(rest || (view.svg.includes(`>${first.replace(/\.$/, "")}</title>`) ? "" : first));  // numbers that stand in the picture are not shown twice
  if (place.textContent !== says) place.textContent = says;
  const column = $(".steps");
  if (says && step.parts.length && column.scrollHeight > column.clientHeight) place.textContent = "";
}
// Boxes and buttons of a large picture stand with the step; when the one in hand goes, the next one is taken.
function takeSeats(seat) {
  if (!seat) return seats.forEach((each) => each.remove());
  if (seat.firstChild !== (seats[0] || null)) seat.replaceChildren(...seats);
}
function nextInHand(on) {
  if (!on || !(on.closest("[hidden]") || on.disabled)) return;
  const next = seats.find((each) => !each.hidden) || $(".picture .em-handle[data-handle=tap]");
  if (next) (next.matches("form") ? $("input", next) : next).focus({ preventScroll: true });
}
