"use strict";
// Elements of the page: found, made, remembered; a text is always text.

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
// No number is broken from its unit or its ±.
const held = (words) => words.replace(/(\d) (?=(?:[a-zµ]{1,4}|%|°[CF])(?![a-z]))/gi, "$1\u00a0").replace(/(\d) ±/g, "$1\u00a0±").replace(/± /g, "±\u00a0").replace(/\bcu (?=in\b)/g, "cu\u00a0");
function put(node, attribute, value) {
  if (node.getAttribute(attribute) !== String(value)) node.setAttribute(attribute, value);
}
const boxesNamed = (name) => $$(`[name="${CSS.escape(name)}"]`).filter((each) => !each.closest("[hidden], .on-paper"));
const remembered = (key) => { try { return localStorage.getItem(key) || ""; } catch { return ""; } };
const remember = (key, value) => { try { localStorage.setItem(key, value); } catch { /* none */ } };
// A verdict is a sign, a colour and a sentence that begins with its word.
function verdict({ kind, sign, says }, attributes = {}) {
  return make("p", { class: `verdict ${kind}`, role: "status", ...attributes },
    make("b", { "aria-hidden": "true" }, sign), make("span", {}, says));
}
const refusal = (says, attributes = {}) => verdict({ kind: "unreadable", sign: "?", says }, attributes);
const section = (number) => $(`section[data-step="${number}"]`);
