"use strict";
// Guesses, answer boxes, and what is said of them.

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
const LONGEST_LABEL = 50;      // of one that is shown whole beside its box; the rest of it is heard
function boxes(step, part = 0) {
  const asked = step.boxes.filter((box) => box.part === part);
  if (!asked.length) return null;
  let left = 0;                  // Enter, or the button, leaves a box and then checks: its text is sent once
  const send = (box, input) => {
    left = performance.now();
    box.text = input.value;
    delete box.stale;
    talk({ do: "answer", step: step.step, box: box.key, text: input.value });
  };
  // On a sheet of one's own what is read stands above its boxes, and is said once.
  const stem = document.body.classList.contains("own-sheet") && asked.length > 1 ? `${asked[0].label.split(", ")[0]}, ` : "";
  const rows = asked.map((box) => {
    const short = stem && box.label.startsWith(stem) ? box.label.slice(stem.length) : lesson.number !== null && box.label.length > LONGEST_LABEL ? box.label.split(", ")[0] : "";
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
    const written = performance.now() - left > 400 ? all.filter(([, input]) => input.value.trim()) : [];
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
