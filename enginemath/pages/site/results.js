"use strict";
// What a step's working shows: pictures at the right, words beside the text.

const inColumns = (words) => /\S {2,}\S/.test(words);
// A lesson's HTML is a link to a page to print; that of a sheet of one's own is the readings.
const linksToPrint = () => lesson.number !== null;
// What a step's working shows: pictures in place of the panel, words large below it.
function showBoard() {
  const figure = $("figure"), step = steps.get(now);
  if (!step) return;
  const shown = boardOf(step);
  const pictures = shown.filter((each) => each.kind !== "text" && !(each.kind === "html" && linksToPrint()));
  const words = standsAtLeft(step) ? "" : resultsOf(step);
  const lines = words.split("\n").length;
  let board = $(".board", figure);
  if (!board) { board = make("div", { class: "board", role: "group", "aria-label": "result" }); figure.append(board); }
  const key = step.record ? `record ${step.step}` : JSON.stringify([pictures, words]);
  if (board.dataset.key === key && (!step.record || board.firstChild === step.record)) return;
  board.dataset.key = key;
  board.replaceChildren(...(step.record ? [step.record] : []), ...pictures.map(still),
    ...(words ? [make("pre", { class: `${lines > 6 ? "many" : ""} ${inColumns(words) ? "columns" : ""}` }, words)] : []));
  figure.classList.toggle("full", Boolean(step.record) || pictures.length > 0 || lines > 9);
}
// Boxes keep the readings in sight that their question gave a step before.
function boardOf(step) {
  const open = step.working.filter((each) => !each.part || each.part === partOf(step));
  const own = open.flatMap((each) => each.shown), before = steps.get(step.step - 1);
  if (own.length || !step.boxes.length || !before || before.title !== step.title) return own;
  return boardOf(before);
}
const resultsOf = (step) => boardOf(step).filter((each) => each.kind === "text").map((each) => each.value).join("\n");
// Results stand with the words, so that the picture keeps its size; below it where there is no room.
const standsAtLeft = (step) => { const at = section(step.step), here = at && $(".results", at); return Boolean(here) && !here.hidden; };
function placeResults() {
  const step = steps.get(now), at = step && section(now);
  if (!at) return;
  const words = resultsOf(step), column = $(".steps"), open = $(`[data-part="${partOf(step)}"] .body`, at) || at;
  let here = $(".results", at);
  if (!here) here = make("pre", { class: "results" });
  const text = $(".text", open), reason = $(".reason", text);
  if (reason) { if (here.nextSibling !== reason) reason.before(here); } else if (text.nextSibling !== here) text.after(here);
  here.textContent = words;
  here.classList.toggle("columns", inColumns(words));
  here.hidden = !words;
  $$(".links", at).forEach((each) => each.remove());
  const links = linksToPrint() ? boardOf(step).filter((each) => each.kind === "html").map((each) => each.value).join("") : "";
  if (links) {                             // a page to print, saved by a click: the kit's own
    here.after(make("p", { class: "links" }));
    here.nextSibling.innerHTML = links;
  }
  if (words && matchMedia("(min-width: 901px)").matches && (column.scrollHeight > column.clientHeight || here.scrollWidth > here.clientWidth)) here.hidden = true;
  showBoard();
}
let stills = 0;
function still(shown) {
  if (shown.kind === "png") return make("img", { src: `data:image/png;base64,${shown.value}`, alt: shown.says });
  const node = make("div", { class: "still" });
  const key = shown.kind === "svg" && /id="([^"]+)-title"/.exec(shown.value);
  // A picture or a link of the kit's own; no two pictures of a page share their ids.
  node.innerHTML = key ? shown.value.replaceAll(new RegExp(`(["# ])${CSS.escape(key[1])}-`, "g"), `$1${key[1]}-${++stills}-`) : shown.value;
  if (key) node.firstElementChild.removeAttribute("style");
  return node;
}
