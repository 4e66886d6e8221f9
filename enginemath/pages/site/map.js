"use strict";
// The map: where am I, what is done, what is next; and who is here.

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
