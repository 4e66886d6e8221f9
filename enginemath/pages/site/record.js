"use strict";
// The readings of an engine of one's own: one box at a time, or all of them. It shows what Python
// sends and sends what a hand does; what is a slip, what is known and what is drawn, Python says.

const own = {
  engine: null,                // as the message "engine" says it
  box: null,                   // the box that is asked for
  typed: null,                 // what stands in it and is not yet taken: { name, text }
  drawing: false, drew: 0,     // a drawing is on its way; when the last one was asked for
  soon: 0, timer: 0,
  asked: false,                // whether an engine was asked for on the map
  get on() { return document.body.classList.contains("recording"); },
  get sheet() { return decodeURIComponent(location.hash.slice(1)).match(/^own\/([^/]+)(?:\/(.+))?$/); },
  begin() {
    const [, sheet, table] = this.sheet;
    talk({ do: "engine", sheet, ...(table ? { table } : {}) });
  },
};

// ---- the frame ---------------------------------------------------------------------------------
function openEngine(engine) {
  own.engine = engine;
  lesson = null;
  document.body.className = `recording ${projector ? "projector" : ""}`;
  document.title = `${engine.name}: readings`;
  $(".where").textContent = [engine.name, engine.group && `group ${engine.group}`, engine.after && "after the work"].filter(Boolean).join(" · ");
  $(".dots").replaceChildren(
    make("button", { class: "quiet", id: "all", "aria-pressed": "false", onclick: showAll }, "all readings"),
    make("button", { class: "quiet", id: "report", onclick: () => talk({ do: "report" }) }, engine.after ? "before and after" : "the result"),
    make("button", { class: "solid line", id: "save", onclick: () => talk({ do: "files" }) }, "save the readings"));
  $(".kept").textContent = "";
  const input = make("input", { type: "text", id: "entry", autocomplete: "off", spellcheck: "false", inputmode: "decimal", "aria-describedby": "asked-how" });
  input.addEventListener("input", () => { own.typed = { name: own.box.name, text: input.value }; sayOwn(); draft(input.value); });
  const take = make("form", { class: "take", onsubmit: (event) => { event.preventDefault(); send(input.value); } },
    input, make("span", { class: "unit" }), make("button", { class: "solid" }, "take"));
  const why = make("form", { class: "why", hidden: true, onsubmit: (event) => { event.preventDefault(); talk({ do: "leave out", text: $("#why").value }); } },
    make("input", { type: "text", id: "why", "aria-label": "why is it left out", placeholder: "why? e.g. ridge not cut yet", autocomplete: "off", maxlength: 200 }), make("button", { class: "quiet" }, "leave out"));
  const move = (label, message, id) => make("button", { class: "quiet", type: "button", id, onclick: () => talk(message) }, label);
  $(".steps").replaceChildren(make("div", { class: "side" },
    make("p", { class: "kind" }), make("h1", {}), make("p", { class: "place" }), make("p", { class: "how", id: "asked-how" }),
    take, make("p", { class: "was", hidden: true }), make("div", { class: "said-so", role: "status" }), why,
    make("div", { class: "moves" }, move("go back", { do: "go", to: "back" }, "back"), move("skip for now", { do: "go", to: "skip" }, "skip"),
      make("button", { class: "quiet", type: "button", id: "out", onclick: () => { why.hidden = false; sayOwn(); $("#why").value = own.box.left_out; $("#why").focus(); } }, "leave out …"),
      move("read once more", { do: "add", kind: "again" }, "again"), move("burette filled again", { do: "add", kind: "fill" }, "fill"),
      make("button", { class: "quiet", type: "button", id: "as-before", onclick: () => talk({ do: "as before" }) }, "not touched by the work")),
    make("ol", { class: "order", "aria-label": "Bench order" })));
  const figure = $("figure");
  figure.className = "";
  delete figure.dataset.panel;
  figure.replaceChildren(make("div", { class: "at-work" }), make("div", { class: "so-far", role: "status" }), make("div", { class: "all", hidden: true }));
  warn(engine.warnings);
  whatIsKnown(0);
}

// ---- one box -----------------------------------------------------------------------------------
function showBox(box) {
  const same = own.box && own.box.name === box.name;
  own.box = box;
  const side = $(".side"), input = $("#entry");
  $(".kind", side).textContent = `${box.number} of ${box.of} · ${box.tool}`;
  $("h1", side).textContent = box.what[0].toUpperCase() + box.what.slice(1);
  $(".place", side).textContent = box.where;
  $(".how", side).textContent = box.how;
  put(input, "aria-label", box.name);
  $(".take .unit").textContent = box.unit;
  const kept = own.typed && own.typed.name === box.name && !same ? own.typed.text : null;   // typed before the line was lost
  input.value = kept ?? box.text;
  own.typed = null;
  $(".was").hidden = !box.before;
  $(".was").textContent = box.before ? `before the work: ${box.before}` : "";
  $("#as-before").hidden = !box.before;
  $("#back").disabled = box.number === 1;
  $("#fill").hidden = !box.poured;
  $(".why").hidden = true;
  if (box.said) sayOwn(box.said);
  else if (box.left_out) sayOwn({ kind: "none", sign: "–", says: `left out: ${box.left_out}`, picks: [] });
  else sayOwn();
  const order = box.order.map((each) => make("li", { class: `${each.done === each.of ? "done" : each.done ? "half" : ""} ${each.on ? "on" : ""}` },
    make("i", { "aria-hidden": "true" }), make("button", { type: "button", "aria-current": each.on ? "step" : null, onclick: () => talk({ do: "go", to: each.what }) }, each.what),
    make("span", {}, `${each.done} of ${each.of}`)));
  $(".order").replaceChildren(...order);
  $(".order .on")?.scrollIntoView({ block: "nearest" });
  svgInto($(".at-work"), box.picture);
  if ($(".all").hidden) { input.focus({ preventScroll: true }); input.select(); }
}
function svgInto(place, text) {
  const svg = document.importNode(parser.parseFromString(text, "image/svg+xml").documentElement, true);
  svg.removeAttribute("style");
  place.replaceChildren(svg);
}
// What is said stands below the box; a question has its answers beside it.
function sayOwn(said) {
  const place = $(".said-so");
  if (!said) { if (place.firstChild) place.replaceChildren(); return; }
  const line = make("p", { class: `verdict ${said.kind}` }, make("b", { "aria-hidden": "true" }, said.sign), make("span", {}, said.says));
  const picks = (said.picks || []).map((pick, place_) => make("button", {
    type: "button", class: place_ ? "quiet" : "solid",
    onclick: () => { if (pick.text) send(pick.text, pick.sure, said.line); else { sayOwn(); $("#entry").focus(); $("#entry").select(); } },
  }, pick.label));
  place.replaceChildren(line, ...(picks.length ? [make("div", { class: "picks" }, ...picks)] : []));
  $(".take .solid").classList.toggle("line", picks.length > 0);
}
function send(text, sure = false, line = 0) {
  clearTimeout(own.soon);
  if (line) talk({ do: "line", number: line, text, sure });
  else if (!text.trim() && own.box.text) talk({ do: "clear" });
  else talk({ do: "take", text, sure });
}
// The drawing follows what is typed; one is on its way at a time, of fast keys the last one counts.
function draft(text) {
  clearTimeout(own.soon);
  const rest = own.drew + 80 - performance.now();
  if (own.drawing || rest > 0) { own.soon = setTimeout(draft, Math.max(rest, 20), text); return; }
  own.drawing = Boolean(socket && socket.readyState === WebSocket.OPEN);
  own.drew = performance.now();
  talk({ do: "draft", text });
}
function whatIsKnown(after = 250) {
  clearTimeout(own.timer);
  own.timer = setTimeout(() => { if (own.on) talk({ do: "known" }); }, after);
}

// ---- all readings ------------------------------------------------------------------------------
function showAll() {
  const all = $(".all"), open = all.hidden;
  all.hidden = !open;
  document.body.classList.toggle("tabled", open);
  put($("#all"), "aria-pressed", open);
  $("#all").textContent = open ? "back to the drawing" : "all readings";
  sayOwn();
  talk(open ? { do: "readings" } : { do: "go", to: String(own.box.number) });
}
function showReadings({ lines, after, groups }) {
  const head = ["#", "what", "cylinder", "place", "reading", "tool", ...(after ? ["before"] : []), ...(groups ? ["other groups"] : []), "left out"];
  const rows = lines.map((line) => {
    const input = make("input", { type: "text", "aria-label": line.name, placeholder: line.unit, autocomplete: "off", "data-line": line.number });
    input.value = line.text;
    input.addEventListener("change", () => { line.text = input.value; talk({ do: "line", number: line.number, text: input.value }); });
    input.addEventListener("keydown", (event) => {
      const by = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key], next = by && $(`[data-line="${line.number + by}"]`);
      if (!next) return;
      event.preventDefault();
      next.focus();
      next.select();
    });
    return make("tr", { class: line.left_out ? "out" : "" }, ...[line.number, line.what, line.cylinder, line.place].map((text) => make("td", {}, String(text))),
      make("td", {}, input), ...[line.tool, ...(after ? [line.before] : []), ...(groups ? [line.others] : []), line.left_out].map((text) => make("td", {}, text)));
  });
  const on = document.activeElement && document.activeElement.dataset.line;
  $(".all").replaceChildren(make("table", {}, make("thead", {}, make("tr", {}, ...head.map((name) => make("th", { scope: "col" }, name)))), make("tbody", {}, ...rows)));
  const first = $(`[data-line="${on || own.box.number}"]`);
  if (first) { first.focus(); first.scrollIntoView({ block: "center" }); }
}

// ---- what Python says --------------------------------------------------------------------------
const ofLessons = { kept: hearing.kept, refusal: hearing.refusal, changed: hearing.changed, map: hearing.map };
Object.assign(hearing, {
  engine: openEngine,
  box: showBox,
  drawn({ picture }) {
    own.drawing = false;
    svgInto($(".at-work"), picture);
  },
  known({ picture }) { svgInto($(".so-far"), picture); },
  said(message) { sayOwn(message); if (message.line) mark(message.line, true); },
  line({ line, text }) {
    const input = $(`[data-line="${line}"]`);
    if (input) input.value = text;
    mark(line, false);
  },
  readings: showReadings,
  made({ sheet, table }) { own.asked = false; location.hash = toEngine(sheet, ...(table ? [table] : [])); },
  clash({ name, files }) {
    atEngines("near", "?", `${name} is here already, with other readings. `,
      make("button", { class: "quiet", onclick: () => talk({ do: "open sheet", files, replace: true }) }, "take the file's"), " ",
      make("button", { class: "quiet", onclick: () => { location.hash = `own/${encodeURIComponent(name)}`; } }, "go on with what is here"));
  },
  kept(message) {
    if (!own.on) { ofLessons.kept(message); return; }
    own.drawing = false;
    $(".kept").textContent = message.trouble ? "not kept" : `kept ${message.at}`;
    $(".kept").classList.toggle("not", Boolean(message.trouble));
    if (message.trouble) sayOwn({ kind: "wrong", sign: "✗", says: message.trouble, picks: [] });
    if (message.told && message.told.length) warn(message.told);
    whatIsKnown();
  },
  refusal(message) {
    own.drawing = false;
    if (own.asked && $(".own-engines")) { own.asked = false; atEngines("wrong", "✗", message.says); return; }
    if (!own.on) { ofLessons.refusal(message); return; }
    sayOwn({ kind: "wrong", sign: "✗", says: message.says, picks: [] });
  },
  changed(message) {
    if (!own.on) { ofLessons.changed(message); return; }
    $(".kept").textContent = "changed in another window";
    whatIsKnown();
  },
  map(map) {
    document.body.classList.remove("recording");
    $(".warnings.of-work")?.remove();
    ofLessons.map(map);
    $(".steps section nav").after(ownEngines(map.engines || []));
  },
});
// What is said of the engines on the map stands below them, and in sight.
function atEngines(kind, sign, ...words) {
  const place = $(".own-engines .verdict");
  place.className = `verdict ${kind}`;
  place.hidden = false;
  place.replaceChildren(make("b", { "aria-hidden": "true" }, sign), make("span", {}, ...words));
  place.scrollIntoView({ block: "end" });
}
function mark(number, bad) {
  const row = $(`[data-line="${number}"]`)?.closest("tr");
  if (row) row.classList.toggle("bad", bad);
}

// ---- on the map: engines of one's own -------------------------------------------------------------
function ownEngines(engines) {
  const name = make("input", { type: "text", "aria-label": "name of the engine", placeholder: "bay3", maxlength: 60, autocomplete: "off" });
  const count = make("input", { type: "text", "aria-label": "cylinders", value: "4", inputmode: "numeric", maxlength: 2 });
  const banks = make("input", { type: "text", "aria-label": "banks of a V engine, parted by a comma", placeholder: "left,right", maxlength: 80, autocomplete: "off" });
  const unit = make("select", { "aria-label": "unit of lengths" }, make("option", {}, "mm"), make("option", {}, "in"));
  const form = make("form", { class: "new", onsubmit: (event) => {
    event.preventDefault();
    own.asked = true;
    talk({ do: "new engine", name: name.value, cylinders: Number(count.value) || 0, banks: banks.value, unit: unit.value });
  } }, "name ", name, " cylinders ", count, " lengths in ", unit, " of a V, its banks ", banks, " ", make("button", { class: "solid" }, "begin"));
  const files = make("input", { type: "file", class: "unseen", accept: ".toml,.csv", multiple: true, onchange: async (event) => {
    const texts = {};
    for (const file of event.target.files) texts[file.name] = (await file.text()).slice(0, 2_000_000);
    own.asked = true;
    talk({ do: "open sheet", files: JSON.stringify(texts) });
  } });
  const begin = make("details", {}, make("summary", {}, "new"), form);
  begin.addEventListener("toggle", () => { if (begin.open) name.focus(); });
  const [first, ...others] = engines;
  const group = make("input", { type: "text", "aria-label": "name of the group", placeholder: "A", maxlength: 40, autocomplete: "off" });
  const table = make("details", {}, make("summary", {}, "group"), make("form", { class: "new", onsubmit: (event) => {
    event.preventDefault();
    own.asked = true;
    talk({ do: "group table", sheet: first.sheet, group: group.value });
  } }, "own table for group ", group, " ", make("button", { class: "solid" }, "begin")));
  table.addEventListener("toggle", () => { if (table.open) group.focus(); });
  return make("div", { class: "own-engines" },
    make("div", { class: "more" }, make("h2", {}, "Your own engine"), make("label", { class: "quiet" }, "open files", files), first ? table : null, begin),
    ...(first ? oneEngine(first) : [make("p", {}, "Press new: it asks for one reading at a time.")]),
    ...(others.length ? [make("p", { class: "others" }, "also ", ...others.flatMap((each) => [make("a", { href: toEngine(each.sheet), title: each.ratio }, each.name), " "]))] : []),
    make("p", { class: "verdict near", role: "status", hidden: true }));
}
const toEngine = (...names) => `#own/${names.map(encodeURIComponent).join("/")}`;
// An engine's name goes on where its readings stopped; a group's own table by the group's name.
function oneEngine({ sheet, name, ratio, trouble, tables }) {
  const begun = tables.filter((each) => each.done), shown = begun.length ? begun : tables, whole = shown.every((each) => !each.next);
  const state = shown.flatMap((each) => [
    tables.length > 1 ? make("a", { href: toEngine(sheet, each.table) }, each.group ? `group ${each.group}` : "no group") : null, tables.length > 1 ? ": " : null,
    each.next ? `${each.done} of ${each.of} read so far, next ${each.next}` : `all ${each.of} read`, ". "]);
  return [make("p", { class: "engine" }, make("a", { class: "solid line", title: name, href: toEngine(sheet) }, whole ? name : `Go on with ${name}`), " ", make("b", {}, ratio)),
    ...(trouble ? [make("p", { class: "verdict wrong" }, make("b", { "aria-hidden": "true" }, "✗"), make("span", {}, trouble))] : []), make("p", { class: "table" }, ...state)];
}
