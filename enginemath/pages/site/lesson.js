"use strict";
// The lesson that is open, and what is heard of it.

let lesson = null;             // as the message "lesson" says it
let steps = new Map();         // by number, as far as they were reached
let panels = new Map();        // by number of their step
let now = 1;                   // the step that is on
let ahead = 0;                 // the step that is asked for
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
  map: (message) => showMap(message),
  lesson(message) {
    const again = lesson && lesson.name === message.name;
    if (again) rememberHand();
    beginTyping(message.name);
    lesson = message;
    steps = new Map();
    panels = new Map();
    now = Math.min(asked().step || (again ? now : message.at), message.at);
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
function openLesson() {
  document.body.className = `lesson ${projector ? "projector" : ""} ${lesson.number === null ? "own-sheet" : ""}`;
  const number = lesson.number === null ? "" : `${String(lesson.number).padStart(2, "0")} · `;
  document.title = `${number}${lesson.title}`;
  $(".where").textContent = document.title;
  $(".where").dataset.student = lesson.student.name;
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
