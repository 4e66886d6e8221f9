"use strict";
// The page of a lesson. It shows what Python sends and sends what a hand does; it knows no mathematics.
// The messages are those of docs/reference/lesson-pages.md.

const $ = (query, at = document) => at.querySelector(query);
const $$ = (query, at = document) => [...at.querySelectorAll(query)];
const projector = new URLSearchParams(location.search).has("projector");

// An element from a tag, attributes and what is in it; a text is always text.
function make(tag, attributes = {}, ...inside) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  node.append(...inside.filter((each) => each != null));
  return node;
}
function put(node, attribute, value) {
  if (node.getAttribute(attribute) !== String(value)) node.setAttribute(attribute, value);
}

// ---- talking to Python ---------------------------------------------------------------------------
// What is sent while nobody listens waits; an answer typed in that time is not lost.
let socket = null, waiting = [], tries = 0;
function address() {
  const at = new URL("talk", new URL($("script[src]").src.replace(/site\/[^/]*$/, ""), location.href));
  at.protocol = at.protocol.replace("http", "ws");
  if (projector) at.searchParams.set("projector", "1");
  return at;
}
function connect() {
  if (!window.lineToPython && $("#edition")) return;   // half of a page without a server
  socket = window.lineToPython ? window.lineToPython(projector) : new WebSocket(address());
  socket.onopen = () => {
    tries = 0;
    document.body.classList.remove("alone");
    const late = waiting;
    waiting = [];
    begin();
    late.forEach(talk);
  };
  socket.onmessage = ({ data }) => hear(JSON.parse(data));
  socket.onclose = () => {
    moving.busy = false;
    document.body.classList.add("alone");
    $(".kept").textContent = "not connected: what you type stays here";
    setTimeout(connect, Math.min(5000, 300 * 2 ** tries++));
  };
}
function talk(message) {
  if (socket && socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
  else if (["answer", "reading", "guess", "who"].includes(message.do)) waiting.push(message);
}

// ---- what is open --------------------------------------------------------------------------------
let lesson = null;             // as the message "lesson" says it
let steps = new Map();         // by number, as far as they were reached
let panels = new Map();        // by number of their step
let now = 1;                   // the step that is on
let ahead = 0;                 // the step that is asked for
const typed = new Map();       // what stands in a box and is not yet kept, by step and box
let anew = false;              // while steps are put in the place of older ones, nobody has left a box
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
const boxesNamed = (name) => $$(`[name="${CSS.escape(name)}"]`).filter((each) => !each.closest("[hidden], .on-paper"));
function takeInHand() {
  const [same] = inHand ? boxesNamed(inHand.name) : [];
  if (!same || same.readOnly || same === document.activeElement) return;
  same.focus({ preventScroll: true });
  same.setSelectionRange(inHand.from, inHand.to);
}
const remembered = (key) => { try { return localStorage.getItem(key) || ""; } catch { return ""; } };
const remember = (key, value) => { try { localStorage.setItem(key, value); } catch { /* none */ } };

const first = new URLSearchParams(location.search).get("lesson");
const sheet = new URLSearchParams(location.search).get("sheet"), table = new URLSearchParams(location.search).get("table");
if ((first || sheet) && !location.hash) location.hash = first || ["own", sheet, table].filter(Boolean).map(encodeURIComponent).join("/");
history.replaceState(null, "", `${location.pathname}${projector ? "?projector=1" : ""}${location.hash}`);
function asked() {
  const [name, step] = decodeURIComponent(location.hash.slice(1)).split("/");
  return { name, step: Number(step) || 0 };
}
function begin() {
  if (own.sheet) { own.begin(); return; }
  const { name } = asked(), student = remembered("enginemath-student");
  const who = student ? { student } : {};
  talk(name ? { do: "open", lesson: name, ...who } : { do: "map", ...who });
}
const hearing = {
  map: showMap,
  lesson(message) {
    const again = lesson && lesson.name === message.name;
    if (again) rememberHand();
    lesson = message;
    steps = new Map();
    panels = new Map();
    now = Math.min(asked().step || (again ? now : message.at), message.at);
    said = new Map();
    openLesson();
    warn(message.warnings);
    tellEdition(message.edition);
  },
  step(message) {
    steps.set(message.step, message);
    showStep(message);
    typed.delete(`${message.step} guess`);
    if (message.step === now || steps.size === lesson.at) {
      go(now, message.step === ahead);
      takeInHand();
    }
    if (message.step === ahead) ahead = 0;
    dots();
  },
  panel(message) {
    panels.set(message.step, message);
    moving.busy = false;
    showPanel(message);
    takeInHand();
    moving.next();
  },
  verdicts(message) {
    const step = steps.get(message.step);
    step.verdicts = message.verdicts;
    step.done = message.done;
    step.boxes.find((box) => box.key === message.box).text = message.text;
    const input = $(`[name="box ${CSS.escape(message.box)}"]`, section(message.step)), key = `${message.step} ${message.box}`;
    if (typed.get(key) === message.text) typed.delete(key);
    if (!typed.has(key) && !input.dataset.takes) input.value = message.text;
    showVerdicts(step);
    dots();
  },
  kept(message) {
    const kept = $(".kept");
    if (message.trouble) {
      sayBeside(message, message.trouble);
      kept.textContent = "not kept";
    } else {
      kept.textContent = `kept ${message.at}`;
      readingKept(message);
    }
    kept.classList.toggle("not", Boolean(message.trouble));
  },
  file({ name, text }) {
    const link = make("a", { href: URL.createObjectURL(new Blob([text])), download: name });
    link.click();
    URL.revokeObjectURL(link.href);
    $("dialog").close();
    $(".kept").textContent = `saved as ${name}`;
  },
  refusal(message) {
    moving.busy = false;
    sayBeside(message, message.says);
    moving.next();
  },
  changed() {
    if (!lesson) return;
    begin();
    $(".kept").textContent = "changed in another window";
  },
};
const hear = (message) => hearing[message.show] && hearing[message.show](message);

// ---- steps at the left ---------------------------------------------------------------------------
// A verdict is a sign, a colour and a sentence that begins with its word.
function verdict({ kind, sign, says }, attributes = {}) {
  return make("p", { class: `verdict ${kind}`, role: "status", ...attributes },
    make("b", { "aria-hidden": "true" }, sign), make("span", {}, says));
}
const refusal = (says, attributes = {}) => verdict({ kind: "unreadable", sign: "?", says }, attributes);
const section = (number) => $(`section[data-step="${number}"]`);

// A text in a table is kept; what was said beside it goes.
function readingKept({ step: number, box }) {
  const step = steps.get(number), key = `${number} reading ${box}`;
  if (!step || typed.get(key) !== step.readings[box]) return;
  typed.delete(key);
  for (const each of boxesNamed(`reading ${box}`)) each.parentNode.querySelector(".verdict")?.remove();
}
function openLesson() {
  document.body.className = `lesson ${projector ? "projector" : ""} ${lesson.number === null ? "own-sheet" : ""}`;
  const number = lesson.number === null ? "" : `${String(lesson.number).padStart(2, "0")} · `;
  document.title = `${number}${lesson.title}`;
  $(".where").textContent = document.title;
  anew = true;
  $(".steps").replaceChildren();
  $("figure").replaceChildren();
  anew = false;
  delete $("figure").dataset.panel;
  showCode(remembered("enginemath-code") === "shown");
}
function dots() {
  const all = Array.from({ length: lesson.steps }, (_, place) => {
    const step = steps.get(place + 1), on = place + 1 === now;
    return make("button", {
      class: step && step.done ? "done" : "", "aria-current": on ? "step" : null, disabled: !step,
      "aria-label": step ? `${place + 1} ${step.title}${step.done ? ", done" : ""}` : `step ${place + 1}, later`,
      onclick: () => go(place + 1),
    }, make("i"));
  });
  const focused = $$(".dots button").indexOf(document.activeElement);
  $(".dots").replaceChildren(...all);
  if (focused >= 0) all[focused].focus();
}
function showStep(step) {
  const before = steps.get(step.step - 1);
  const title = step.step === 1 ? "h1" : "h2";
  const node = make("section", { "data-step": step.step, "aria-label": step.title },
    make(title, { class: before && before.title === step.title ? "again" : "" }, step.title),
    looksBack(step), text(step), guess(step), onPaper(step), boxes(step), make("p", { class: "saying", "aria-hidden": "true" }), make("div", { class: "seat" }), working(step), ...parts(step), writtenEarlier(step), onward(step));
  const old = section(step.step);
  if (old) {
    const focused = old.contains(document.activeElement) && document.activeElement;
    const same = focused && (focused.name ? `[name="${CSS.escape(focused.name)}"]` : focused.matches(".on") && ".on");
    anew = true;
    old.replaceWith(node);
    anew = false;
    const again = same && $(same, node);
    if (again && !again.readOnly) again.focus();
  } else $(".steps").append(node);
  node.hidden = step.step !== now;
  showVerdicts(step);
  if (step.step === now) showFigure();
}
function text(step, html = step.text) {
  const node = make("div", { class: "text" });
  node.innerHTML = html;                   // the kit's own, out of its notebooks
  const record = [...node.children].find((each) => each.matches("table") && $$("[data-reading]", each).length > 1);
  if (record) {
    step.record = record;
    record.remove();
  }
  for (const place of $$("[data-reading]", record || node)) {
    const name = place.dataset.reading;
    const input = record
      ? make("input", { type: "text", name: `reading ${name}`, "aria-label": name, autocomplete: "off" })
      : make("textarea", { rows: 2, name: `reading ${name}`, "aria-label": name, dir: "auto" });
    if (!record) place.closest("table").classList.add("reason");
    holdTyped(input, `${step.step} reading ${name}`, step.readings[name] || "", () => {
      step.readings[name] = input.value;
      talk({ do: "reading", step: step.step, box: name, text: input.value });
    });
    place.append(input);
  }
  return node;
}
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
function looksBack(step) {
  if (!step.looks_back.length) return null;
  const row = ({ asked, said, is, off }) => make("div", {}, make("dt", {}, asked), make("dd", {},
    ...(said ? ["you said ", make("q", { dir: "auto" }, said), is ? ", " : ""] : []), ...(is ? ["it is ", make("strong", {}, is)] : []), off ? `: ${off}` : ""));
  return make("dl", { class: "back", "aria-label": "Your guesses" }, ...step.looks_back.map(row));
}
// What an earlier edition of the lesson had a place for: it is kept, and stays in sight.
function writtenEarlier(step) {
  if (!step.written_earlier.length) return null;
  const row = ({ where, text }) => make("div", {}, make("dt", {}, where), make("dd", { dir: "auto" }, text));
  return make("div", { class: "earlier" }, make("h3", {}, "Written in an earlier edition"), make("dl", {}, ...step.written_earlier.map(row)));
}
function guess(step) {
  const asks = step.guess;
  if (!asks) return null;
  const long = asks.kind === "words", id = `guess-${step.step}`;
  const input = make(long ? "textarea" : "input", {
    id, name: "guess", rows: long ? 3 : null, type: long ? null : "text", autocomplete: "off",
    readonly: asks.given, dir: "auto", "aria-describedby": asks.question ? `${id}-asks` : null,
  });
  const send = () => talk({ do: "guess", step: step.step, text: input.value });
  holdTyped(input, `${step.step} guess`, asks.text, () => { if (long && input.value.trim()) send(); });
  const form = make("form", { class: "ask", onsubmit: (event) => { event.preventDefault(); send(); } },
    asks.question ? make("p", { id: `${id}-asks`, class: step.picture ? "unseen" : "" }, asks.question) : null,
    make("label", { for: id }, "your guess"), input,
    asks.given || long ? null : make("button", { class: "solid" }, "show"));
  const said = asks.says ? make("p", { class: "said", role: "status" }, asks.says) : null;
  return make("div", { class: "guess" }, form, said, refusal("", { "data-about": "guess", hidden: true }));
}
function boxes(step, part = 0) {
  const asked = step.boxes.filter((box) => box.part === part);
  if (!asked.length) return null;
  const send = (box, input) => {
    box.text = input.value;
    delete box.stale;
    talk({ do: "answer", step: step.step, box: box.key, text: input.value });
  };
  // On a sheet of one's own what is read stands above its boxes, and is said once.
  const stem = document.body.classList.contains("own-sheet") && asked.length > 1 ? `${asked[0].label.split(", ")[0]}, ` : "";
  const rows = asked.map((box) => {
    const short = stem && box.label.startsWith(stem) ? box.label.slice(stem.length) : "";
    const id = `box-${step.step}-${box.key}`;
    const input = make("input", {
      id, type: "text", name: `box ${box.key}`, readonly: Boolean(box.takes), "data-takes": box.takes || null, placeholder: box.example ? `like ${box.example}` : null,
      autocomplete: "off", spellcheck: "false", "aria-label": short ? box.label : null, "aria-describedby": `${id}-said`,
    });
    holdTyped(input, `${step.step} ${box.key}`, box.text, () => send(box, input));
    return make("div", { class: "box", "data-box": box.key },
      make("label", { for: id }, short || box.label), input, make("span", { class: "unit" }, box.unit),
      make("div", { id: `${id}-said`, class: "beside" }));
  });
  const checkAll = (event) => {
    event.preventDefault();
    const inputs = $$(".box input", event.target), all = asked.map((box, place) => [box, inputs[place]]);
    const changed = all.filter(([box, input]) => input.value !== box.text || box.stale);
    const written = all.filter(([, input]) => input.value.trim());
    (changed.length ? changed : written).forEach(([box, input]) => send(box, input));
  };
  return make("form", { class: "boxes", onsubmit: checkAll }, ...rows,
    make("button", { class: "solid" }, lesson.judges ? "check" : "keep"), make("div", { class: "told" }));
}
// What is set in the drawing is the answer: it is not typed again.
function takeFromDrawing(view) {
  const step = steps.get(now);
  if (!step || !step.boxes.some((box) => box.takes)) return;
  const moved = [];
  for (const input of $$("[data-takes]", section(now)).filter((each) => !each.closest("[hidden]"))) {
    const { text } = view.settings.find((each) => each.name === input.dataset.takes) || { text: "" };
    const box = step.boxes.find((each) => `box ${each.key}` === input.name);
    input.value = text;
    if (box.text && box.text !== text) moved.push(box.part);
  }
  const stale = step.boxes.filter((box) => moved.includes(box.part)).map((box) => box.key);
  if (!stale.length) return;
  for (const box of step.boxes) if (stale.includes(box.key)) box.stale = true;    // a verdict is on what was set before
  step.verdicts = step.verdicts.filter((each) => !each.boxes.some((key) => stale.includes(key)));
  showVerdicts(step);
}
function showVerdicts(step) {
  const node = section(step.step);
  if (!node) return;
  showParts(step);
  if (!step.boxes.length) return;
  const beside = new Map(step.boxes.map((box) => [box.key, []])), rest = [];
  for (const each of step.verdicts) {
    const last = each.boxes[each.boxes.length - 1];
    (last ? beside.get(last) : rest).push(each);
  }
  for (const [key, all] of beside) {
    const place = $(`[data-box="${CSS.escape(key)}"] .beside`, node);
    const before = $$(".verdict span", place).map((each) => each.textContent).join("\n");
    if (before !== all.map((each) => each.says).join("\n") || !place.firstChild) place.replaceChildren(...all.map((each) => verdict(each)));
    const wrong = all.some((each) => ["mistake", "unknown", "unreadable"].includes(each.kind));
    put($("input", place.parentNode), "aria-invalid", wrong);
  }
  const forms = $$(".told", node);
  if (forms.length === 1) forms[0].replaceChildren(...rest.map((each) => verdict(each)));
  if (step.step === now) { placeResults(); ring(); }
}
// A result is large, below the picture; behind the switch lies the code that gave it.
function working(step, part = 0) {
  const all = step.working.filter((each) => each.code && each.part === part);
  if (!all.length) return null;
  return make("div", { class: "code" }, ...all.map((each) => make("pre", {}, each.code)));
}
// On paper a result stands in its step: the figure at the right is printed once.
function onPaper(step, part = 0) {
  const ours = step.working.filter((each) => each.part === part);
  const shown = ours.flatMap((each) => each.shown).map((each) => each.kind === "text" ? make("pre", {}, each.value) : still(each));
  if (!part && step.record) shown.push(step.record.cloneNode(true));
  return shown.length ? make("div", { class: "on-paper", "aria-hidden": "true" }, ...shown) : null;
}
function onward(step) {
  const node = make("p", { class: "onward" });
  if (step.covered) node.append(make("button", { class: "solid", onclick: () => talk({ do: "uncover", step: step.step }) }, "show the answer"));
  if (!step.last) node.append(make("button", { class: "solid on", onclick: () => goOn(step) }, "go on"));
  else node.append(make("a", { class: "solid on", href: "#" }, "to the map"));
  node.append(make("span", { class: "waits" }), refusal("", { "data-about": "on", hidden: true }));
  return node;
}
// Where something is to be done by hand first, "go on" comes when it is done.
function waitForHand(view) {
  const step = steps.get(now), on = step && $(".onward", section(now));
  if (!on) return;
  const before = steps.get(now - 1), asked = step.picture && !(before && before.picture === step.picture);
  const waits = projector || steps.has(now + 1) || !view || !asked ? "" : view.waits;
  const button = $(".on", on);
  if (waits && button.contains(document.activeElement)) $(".picture .em-handle")?.focus();
  button.hidden = Boolean(waits);
  if ($(".waits", on).textContent !== waits) $(".waits", on).textContent = waits;
}
function goOn(step) {
  if (step.parts.length && partOf(step) < step.parts.length) openPart(step, partOf(step) + 1);
  else if (steps.has(step.step + 1)) go(step.step + 1);
  else {
    lesson.at = now = ahead = step.step + 1;
    talk({ do: "on", step: step.step });
  }
}
function go(number, move = true) {
  if (!steps.has(number)) return;
  now = number;
  for (const each of $$("section")) each.hidden = Number(each.dataset.step) !== now;
  history.replaceState(null, "", `#${lesson.name}/${now}`);
  dots();
  showFigure();
  $(".steps").scrollTop = 0;
  if (move && !projector) {
    const first = $$("textarea:not([readonly]), form input:not([readonly]), .on", section(now)).find((each) => !each.closest("[hidden]"));
    if (first) first.focus({ preventScroll: true });
  }
}
// A refusal stands beside what it is about.
function sayBeside(message, says) {
  ahead = 0;
  if (lesson && steps.size && !steps.has(now)) lesson.at = now = Math.max(...steps.keys());
  const at = section(message.step || now), box = message.box && at && $(`[data-box="${CSS.escape(message.box)}"] .beside`, at);
  if (box) { box.replaceChildren(refusal(says)); return; }
  const [reading] = message.box ? boxesNamed(`reading ${message.box}`) : [];
  if (reading) {
    $(".verdict", reading.parentNode)?.remove();
    reading.after(refusal(says));
    return;
  }
  const place = message.name ? $(".refusal") : at && ($("[data-about=guess]", at) || $("[data-about=on]", at));
  const shown = place || $("dialog[open] .verdict");
  if (!shown) { $(".kept").textContent = says; return; }
  shown.hidden = false;
  ($("span", shown) || shown).textContent = says;
}
function warn(warnings) {       // what others say there stays
  $(".warnings.of-work")?.remove();
  if (warnings.length) $("main").before(make("div", { class: "warnings of-work", role: "alert" }, ...warnings.map((each) => make("p", {}, each))));
}
// A newer edition of the lesson came with the kit: the student chooses, and is told what stays.
function tellEdition(edition) {
  $(".newer.of-lesson")?.remove();
  if (!edition) return;
  const says = edition === "older"
    ? "A newer edition of this lesson has come. You may go on with yours. What you wrote is kept either way. "
    : "This is a newer edition than the one that you began. What you wrote is kept.";
  const take = edition === "older" && make("button", { class: "solid", onclick: () => talk({ do: "take newer" }) }, "take the newer lesson");
  $("main").before(make("div", { class: "warnings newer of-lesson", role: "status" }, make("p", {}, says, take || null)));
}
function showCode(shown) {
  document.body.classList.toggle("with-code", shown);
  put($("#code"), "aria-pressed", shown);
  remember("enginemath-code", shown ? "shown" : "");
}

// ---- the thing at the right ----------------------------------------------------------------------
let said = new Map();
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
  if (shows && shows.options[shows.picked] !== picture) moving.set(number, "picture", picture);
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
  const columns = /\S {2,}\S/.test(words);
  board.replaceChildren(...(step.record ? [step.record] : []), ...pictures.map(still),
    ...(words ? [make("pre", { class: `${lines > 6 ? "many" : ""} ${columns ? "columns" : ""}` }, words)] : []));
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
  here.classList.toggle("columns", /\S {2,}\S/.test(words));
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
const inGroups = (settings) => {
  const groups = [];
  for (const each of settings) {
    const last = groups[groups.length - 1];
    if (last && last.name && last.name === each.group) last.members.push(each);
    else groups.push({ name: each.group, members: [each] });
  }
  return groups;
};
let frame = "", seats = [];    // seats: what a large picture's panel has at the left, with the step
const shape = (view) => JSON.stringify(view.settings.map((each) => [each.name, each.kind, each.options, each.group]));
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
// A large picture is taken by hand; what has no handle in it is a click away.
function more() {
  const button = make("button", { class: "quiet more", type: "button", "aria-expanded": "false", onclick: () => {
    put(button, "aria-expanded", $("figure").classList.toggle("with-more"));
  } }, "engine and units");
  return button;
}
function setting(view, each) {
  const send = (entry) => { moving.set(view.step, each.name, entry); moving.rest(view.step); };
  const id = `set-${view.step}-${each.name.replace(/\W+/g, "-")}`, data = { "data-setting": each.name };
  if (each.kind === "note") return make("div", { class: `note ${each.class}`, "data-note": each.class });
  if (each.kind === "press") return make("button", { ...data, class: "press", type: "button", onclick: () => send(true) }, each.label);
  if (each.kind === "tick") {
    const tick = make("input", { type: "checkbox", onchange: () => send(tick.checked) });
    return make("label", { ...data, class: "tick" }, tick, each.label);
  }
  if (each.kind === "choice") {
    const list = make("select", { id, onchange: () => send(list.selectedIndex) }, ...each.options.map((label) => make("option", {}, label)));
    return make("div", { ...data, class: `choice part-${each.part}` }, make("label", { for: id }, each.label), list);
  }
  if (each.kind === "text") {
    const box = make("input", { id, type: "text", placeholder: each.example, autocomplete: "off" });
    return make("form", { ...data, class: "entry", onsubmit: (event) => { event.preventDefault(); send(box.value); } },
      make("label", { for: id }, each.label), box, make("button", { class: "press" }, each.button), make("p", { class: "said", role: "status" }));
  }
  return dimension(view, each, id, data);
}
// A dimension: its box, and a slider for as long as the drawing has no handle for it.
function dimension(view, each, id, data) {
  const box = make("input", { id, type: "text", autocomplete: "off", spellcheck: "false" });
  box.addEventListener("change", () => { moving.set(view.step, each.name, box.value); moving.rest(view.step); });
  box.addEventListener("keydown", (event) => { if (event.key === "Enter") box.dispatchEvent(new Event("change")); });
  const knob = make("i");
  const slider = make("span", { class: "slider", role: "slider", tabindex: "0", "aria-label": each.label, "data-handle": each.name }, knob);
  slider.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    slider.focus();
    slider.setPointerCapture(event.pointerId);
    const to = (move) => {
      const { left, width } = slider.getBoundingClientRect(), state = stateOf(view.step, each.name);
      moving.to(view.step, state, state.low + (state.high - state.low) * (move.clientX - left - 8) / (width - 16));
    };
    to(event);
    slider.onpointermove = to;
    slider.onpointerup = slider.onpointercancel = () => { slider.onpointermove = null; moving.rest(view.step); };
  });
  return make("div", { ...data, class: `dimension part-${each.part}` }, make("label", { for: id }, each.label), box, slider, make("p", { class: "said", role: "status" }));
}
const stateOf = (step, name) => panels.get(step).settings.find((each) => each.name === name);

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
  const says = rest || (view.svg.includes(`>${first.replace(/\.$/, "")}</title>`) ? "" : first);  // numbers that stand in the picture are not shown twice
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
function follow(node, each, handled) {
  node.hidden = !each.shown;
  node.classList.toggle("handled", handled);
  for (const part of $$("input, select, button", node).concat(node.matches("button") ? [node] : [])) part.disabled = each.locked;
  if (each.kind === "choice") {
    $("select", node).selectedIndex = each.picked;
    $("select", node).tabIndex = handled ? -1 : 0;
  } else if (each.kind === "tick") $("input", node).checked = each.on;
  else if (each.kind === "text" || each.kind === "number") {
    const box = $("input", node);
    if (box.value !== each.text && box.dataset.shown !== each.text) box.value = each.text;
    if (document.activeElement !== box) box.value = each.text;
    box.dataset.shown = each.text;
    const told = $(".said", node), label = $("label", node);
    if (label.textContent !== each.label) label.textContent = each.label;
    if (told.textContent !== each.says) told.textContent = each.says;
    if (each.kind === "number") {
      put(box, "aria-invalid", Boolean(each.says));
      box.tabIndex = handled ? -1 : 0;       // Enter on the handle leads there
      slide($(".slider", node), each);
    }
  }
}
function slide(slider, each) {
  const share = each.high > each.low ? (each.at - each.low) / (each.high - each.low) : 0;
  slider.firstChild.style.left = `${100 * share}%`;
  for (const [name, value] of [["valuemin", each.low], ["valuemax", each.high], ["valuenow", each.at], ["valuetext", each.text], ["disabled", each.locked]]) put(slider, `aria-${name}`, value);
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

// ---- moving --------------------------------------------------------------------------------------
// One change is on its way at a time; while it is, only the last place of each setting waits.
const moving = {
  busy: false, later: new Map(), timer: 0,
  set(step, name, entry) {
    this.later.set(name, { do: "set", step, name, entry });
    this.next();
  },
  to(step, state, value) {
    const steps = Math.round((value - state.low) / state.step);
    const at = Math.min(state.high, Math.max(state.low, state.low + steps * state.step));
    this.set(step, state.name, Number(at.toFixed(6)));
    if (state.runs) this.hold(step, state, Number(at.toFixed(6)));
  },
  // What runs for as long as it is held: a message a beat, and shut when it is let go.
  held: null,
  hold(step, state, at) {
    if (this.held) { this.held.at = at; return; }
    const send = () => { this.set(step, state.name, this.held.at); };
    this.held = { at, step, name: state.name, low: state.low, timer: setInterval(send, 50) };
  },
  letGo() {
    if (!this.held) return;
    const { step, name, low, timer } = this.held;
    clearInterval(timer);
    this.held = null;
    this.set(step, name, low);
    this.rest(step);
  },
  next() {
    if (this.busy || !this.later.size) return;
    const [name, message] = this.later.entries().next().value;
    this.later.delete(name);
    this.busy = Boolean(socket && socket.readyState === WebSocket.OPEN);
    this.sent = message;
    talk(message);
  },
  // Where a setting will stand when Python has answered: a key is pressed sooner than that.
  sent: null,
  onItsWay(state) {
    const goes = this.busy && this.sent && this.sent.name === state.name && typeof this.sent.entry === "number";
    return goes ? this.sent.entry : state.at;
  },
  rest(step) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => talk({ do: "keep", step }), 250);
  },
};
const STEPS = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 };
function keyOnSlider(event) {
  const slider = event.target.closest && event.target.closest("[role=slider]");
  const step = slider && panelNow(), state = step && stateOf(step, slider.dataset.handle);
  if (!state || state.locked || event.ctrlKey || event.metaKey || event.altKey) return;
  const waits = moving.later.get(state.name), at = moving.held ? moving.held.at : waits ? waits.entry : moving.onItsWay(state);
  if (state.runs && event.key === " ") moving.to(step, state, Math.max(at, state.runs));
  else if (event.key in STEPS) moving.to(step, state, at + STEPS[event.key] * state.step);
  else if (event.key === "Home" || event.key === "End") moving.to(step, state, event.key === "Home" ? state.low : state.high);
  else if (event.key === "Escape") moving.set(step, state.name, null);
  else if (event.key === "Enter") { const box = $(`[data-setting="${CSS.escape(state.name)}"] :is(input, select)`); box.focus(); box.select?.(); }
  else return;
  event.preventDefault();
  event.stopPropagation();
  moving.rest(step);
}
// A handle in the drawing: pulled along its way, or turned round its middle.
let hold = null;
function takeHandle(event) {
  const handle = event.target.closest && event.target.closest(".em-handle");
  if (!handle) return;
  const step = panelNow(), state = stateOf(step, handle.dataset.handle);
  if (!state || state.locked) return;
  const svg = handle.closest("svg");
  const spot = ({ clientX, clientY }) => new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM().inverse());
  const pair = (text) => text.split(" ").map(Number);
  event.preventDefault();
  handle.focus();
  $("figure").setPointerCapture(event.pointerId);
  const from = spot(event);
  if (state.runs) moving.to(step, state, state.runs);
  if (handle.dataset.turn) {
    const [x, y] = pair(handle.dataset.turn);
    const angle = (point) => Math.atan2(point.x - x, y - point.y) * 180 / Math.PI;
    let before = angle(from), at = state.at;
    hold = (move) => {
      const there = angle(spot(move)), by = ((there - before) % 360 + 540) % 360 - 180;
      before = there;
      at += by;
      const turn = state.high - state.low;
      if (turn >= 360) at = state.low + (((at - state.low) % 360) + 360) % 360;
      moving.to(step, state, at);
    };
  } else {
    const [across, down] = pair(handle.dataset.pull), long = across ** 2 + down ** 2, at = state.at;
    hold = (move) => {
      const to = spot(move);
      moving.to(step, state, at + ((to.x - from.x) * across + (to.y - from.y) * down) / long);
    };
  }
}
function letGo() {
  if (hold) moving.rest(panelNow());
  hold = null;
  moving.letGo();
}
const inside = (small, large) => small.left >= large.left && small.right <= large.right && small.top >= large.top && small.bottom <= large.bottom;
// The box of the handle that is held stands beside it.
function besideHandle() {
  const on = document.activeElement, figure = $("figure"), box = on.closest(".handled");
  const name = on.closest(".em-handle")?.dataset.handle || box?.dataset.setting;
  const handle = name && $(`.em-handle[data-handle="${CSS.escape(name)}"]`, figure);
  for (const chip of $$(".handled", figure)) {
    const held = chip.dataset.setting === name;
    chip.classList.toggle("held", held);
    if (held && handle) {
      const room = figure.getBoundingClientRect(), knob = handle.getBoundingClientRect();
      const glasses = $$(".picture .em-lens", figure), lens = glasses.find((each) => inside(knob, each.getBoundingClientRect())), said = [...$$(".picture .em-said-of", figure)].pop();
      const under = handle.dataset.turn ? said : lens;
      if (under === lens && $(".picture .em-shelf", figure)) {     // below the glass stands the shelf
        const place = lens.getBoundingClientRect();
        chip.style.left = `${place.left - room.left - 170}px`;
        chip.style.top = `${place.top - room.top + 8}px`;
        continue;
      }
      if (under) {
        const place = under.getBoundingClientRect();
        const down = $(".picture .em-both-sides", figure) ? 118 : 44;   // clear of what is written there
        chip.style.left = `${place.left - room.left + (under === lens ? 0 : 250)}px`;
        chip.style.top = `${under === lens ? place.bottom - room.top + down : place.top - room.top - 40}px`;
        continue;
      }
      const left = knob.right + 150 > room.right ? knob.left - room.left - 158 : knob.right - room.left + 8;
      chip.style.left = `${left}px`;
      chip.style.top = `${Math.min(knob.top - room.top, room.height - 80)}px`;
    }
  }
}

// ---- the map -------------------------------------------------------------------------------------
function showMap(map) {
  lesson = null;
  document.body.className = `map ${projector ? "projector" : ""}`;
  document.title = "Engine mathematics";
  $(".where").textContent = "engine mathematics";
  $(".dots").replaceChildren();
  const number = (each) => String(each.number).padStart(2, "0");
  const next = map.lessons.find((each) => each.name === map.next), lab = document.body.dataset.lab;
  const words = { done: ", done", begun: ", begun", new: "" };
  const list = map.lessons.map((each) => make("li", { class: each === next ? "next" : each.state },
    make("i", { "aria-hidden": "true" }), make("b", {}, number(each)),
    make("a", { class: "page", href: `#${each.name}`, "aria-current": each === next ? "step" : null }, each.title, make("span", { class: "unseen" }, words[each.state])),
    lab ? make("a", { class: "notebook", href: `${lab}/${each.name}.ipynb`, target: "_blank", "aria-label": `notebook of ${number(each)} ${each.title}` }, "notebook") : null,
    make("a", { class: "notebook", ...toPaper(each.name), target: "_blank", "aria-label": `sheet to print of ${number(each)} ${each.title}` }, "sheet")));
  $(".steps").replaceChildren(make("section", { "aria-label": "Lessons" },
    make("h1", {}, "One engine, twelve lessons"), whoIs(map.student),
    make("p", {}, make("a", { class: "solid go", href: `#${next.name}` }, `${next.state === "new" ? "Begin" : "Go on"} with ${number(next)}`)),
    ...sheetsOf(map), make("nav", { "aria-label": "Lessons" }, make("ol", {}, ...list)),
    make("p", { class: "file" }, make("label", {}, "open a saved file ", make("input", { type: "file", accept: ".json", onchange: takeBack }))),
    map.where ? make("p", { class: "lies" }, map.where) : null,
    refusal("", { "data-about": "guess", hidden: true })));
  const figure = $("figure");
  figure.className = "";
  delete figure.dataset.panel;
  const picture = make("div", { class: "picture" });
  picture.innerHTML = map.picture || "";   // the kit's own drawing
  figure.replaceChildren(make("div", { class: "say" }, make("b", {}, `${number(next)} · ${next.title}`), make("p", {}, next.about)), picture);
  const light = (each) => { $(".say b").textContent = `${number(each)} · ${each.title}`; $(".say p").textContent = each.about; };
  $$("ol li").forEach((node, place) => {
    node.addEventListener("mouseenter", () => light(map.lessons[place]));
    node.addEventListener("focusin", () => light(map.lessons[place]));
  });
  warn(map.warnings);
  tellEdition("");
}
// What is printed, a lesson's sheet or the word list: a page of its own, or inside this one file.
function toPaper(name) {
  const folder = document.body.dataset.paper;
  if (folder) return { href: `${folder}/${name}.html` };
  return { href: "#", onclick: (event) => { event.preventDefault(); window.openPaper(name); } };
}
// The student's own sheets of class sets.
function sheetsOf(map) {
  const words = { done: "to its end", begun: "begun", new: "not begun" };
  return map.sheets.map((each) => make("p", { class: "my-sheet" }, "My sheet: ",
    make("a", { href: `#${each.name}` }, each.title), ` (${words[each.state]})`));
}
function whoIs(student, ask = false) {
  if (student.name && !ask) {
    remember("enginemath-student", student.id);
    const line = make("p", { class: "who" }, "You are ", make("b", {}, make("bdi", {}, student.name), ", ", make("bdi", {}, student.id)), ". ");
    line.append(make("button", { class: "quiet", onclick: () => line.replaceWith(whoIs(student, true)) }, "not you?"));
    return line;
  }
  const name = make("input", { type: "text", "aria-label": "your name", placeholder: "name", dir: "auto", autocomplete: "off", maxlength: 200 });
  const id = make("input", { type: "text", "aria-label": "your id", placeholder: "id", autocomplete: "off", maxlength: 100 });
  return make("form", { class: "who", onsubmit: (event) => { event.preventDefault(); talk({ do: "who", name: name.value, id: id.value }); } },
    "I am ", name, " id ", id, " ", make("button", { class: "quiet" }, "keep"));
}
async function takeBack(event) {
  const [file] = event.target.files;
  if (file) talk({ do: "take back", text: (await file.text()).slice(0, 5_000_000) });
}

// ---- the bar, the keys ---------------------------------------------------------------------------
Object.assign($("#words"), toPaper("words"));
$("#code").onclick = () => showCode(!document.body.classList.contains("with-code"));
$("#hand").onclick = () => {
  const student = lesson ? lesson.student : { name: "", id: "" };
  if (!$("#who").value) $("#who").value = student.name;
  if (!$("#id").value) $("#id").value = student.id || remembered("enginemath-student");
  $("dialog .verdict").hidden = true;
  $("dialog").showModal();
};
$("dialog form").addEventListener("submit", (event) => {
  if (event.submitter && event.submitter.value !== "save") return;
  event.preventDefault();
  const name = $("#who").value, id = $("#id").value;
  if (!name.trim() || !id.trim()) { $("dialog .verdict").hidden = false; $("dialog .verdict").textContent = "Write your name and your id first."; return; }
  remember("enginemath-student", id.trim());
  const open = lesson;
  talk({ do: "who", name, id });
  talk({ do: "hand in" });
  if (open) begin();
});
function goWhereAsked() {
  if (own.sheet) { begin(); return; }
  const { name, step } = asked();
  if (lesson && name === lesson.name && steps.has(step)) go(step);
  else if (!lesson || name !== lesson.name) begin();
}
addEventListener("keydown", keyOnSlider, true);
addEventListener("pointerdown", takeHandle);
addEventListener("pointermove", (event) => {
  if (!hold) return;
  const between = event.getCoalescedEvents ? event.getCoalescedEvents() : [];   // a slow frame swallows half a turn
  for (const move of between.length ? between : [event]) hold(move);
});
addEventListener("pointerup", letGo);
addEventListener("keyup", () => moving.letGo());
addEventListener("blur", letGo);
addEventListener("pointercancel", letGo);
addEventListener("focusin", besideHandle);
addEventListener("keydown", (event) => {
  if (!projector || !lesson || event.target.closest("input, textarea, select, [role=slider]")) return;
  const step = steps.get(now);
  if (event.key === "ArrowRight" || event.key === "PageDown") {
    if (step.covered) talk({ do: "uncover", step: now });
    else if (!step.last) goOn(step);
  } else if (event.key === "ArrowLeft" || event.key === "PageUp") go(now - 1);
  else return;
  event.preventDefault();
});
addEventListener("DOMContentLoaded", () => {        // when every script of the page is there
  addEventListener("hashchange", goWhereAsked);
  connect();
});
