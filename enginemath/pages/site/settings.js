"use strict";
// The settings of a panel: a box, a list, a tick or a slider for each.

const inGroups = (settings) => {
  const groups = [];
  for (const each of settings) {
    const last = groups[groups.length - 1];
    if (last && last.name && last.name === each.group) last.members.push(each);
    else groups.push({ name: each.group, members: [each] });
  }
  return groups;
};
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
    const list = make("select", { id, onchange: () => send(list.selectedIndex) });
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
function follow(node, each, handled) {
  node.hidden = !each.shown;
  node.classList.toggle("handled", handled);
  for (const part of $$("input, select, button", node).concat(node.matches("button") ? [node] : [])) part.disabled = each.locked;
  if (each.kind === "choice") {
    const list = $("select", node), names = [...list.options].map((each) => each.label);
    if (String(names) !== String(each.options)) list.replaceChildren(...each.options.map((label) => make("option", {}, label)));
    list.selectedIndex = each.picked;
    list.tabIndex = handled ? -1 : 0;
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
