"use strict";
// What a hand moves in the drawing, by pointer and by keys.

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
      if (lens && under === lens && $(".picture .em-shelf", figure)) {     // below the glass stands the shelf
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
