"use strict";
// A step at the left, and the way from one to the next.

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
function looksBack(step) {
  if (!step.looks_back.length) return null;
  const row = ({ asked, said, is, off }) => make("div", {}, make("dt", {}, asked), make("dd", {},
    ...(said ? inShort("you said", said, "q") : []), said && is && !isLong(said) ? ", " : "", ...(is ? ["it is ", make("strong", {}, is)] : []), off ? `: ${off}` : ""));
  return make("dl", { class: "back", "aria-label": "Your guesses" }, ...step.looks_back.map(row));
}
// Of a long text its first two lines; what stands before it opens the rest. On paper it is whole.
const isLong = (text) => text.length > 80;
function inShort(lead, text, tag = "span") {
  const words = make(tag, { dir: "auto" }, text);
  if (!isLong(text)) return [lead, " ", words];
  const opens = make("button", { type: "button", class: "quiet", "aria-expanded": "false", title: "show all of it", onclick: () => put(opens, "aria-expanded", words.classList.toggle("whole")) }, lead);
  words.className = "long";
  return [opens, words];
}
// What an earlier edition of the lesson had a place for: it is kept, and stays in sight.
function writtenEarlier(step) {
  if (!step.written_earlier.length) return null;
  const row = ({ where, text }) => make("div", {}, make("dt", {}, where), make("dd", { dir: "auto" }, text));
  return make("div", { class: "earlier" }, make("h3", {}, "Written in an earlier edition"), make("dl", {}, ...step.written_earlier.map(row)));
}
// A result is large, below the picture; behind the switch lies the code that gave it.
function working(step, part = 0) {
  const all = step.working.filter((each) => each.code && each.part === part);
  if (!all.length) return null;
  return make("div", { class: "code" }, ...all.map((each) => make("pre", {}, each.code)));
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
