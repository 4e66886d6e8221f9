"use strict";
// The bar, the keys of the projector, and the beginning of it all.

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
