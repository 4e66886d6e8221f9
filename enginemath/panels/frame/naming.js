// Stock sliders have no accessible name and say a bare number: name them and say the unit.
// A notebook takes arrow keys, Enter and letters for itself: inside a panel they are the panel's.
// Escape goes back from a panel to its cell, as it does from the code of a cell.
(() => {
  if (window.enginemathNaming) return;
  const put = (node, attribute, text) => {
    if (node && node.getAttribute(attribute) !== text) node.setAttribute(attribute, text);
  };
  const nameControl = (control) => {
    const box = control.querySelector("input");
    const name = (control.querySelector("label") || {}).textContent || "";
    const written = box && /^\s*-?\d+(?:\.(\d+))?\s*(\D.*)?$/.exec(box.value);
    const target = control.querySelector(".noUi-target");
    const handle = control.querySelector(".noUi-handle");
    if (handle && target.noUiSlider) {
      const there = Number(target.noUiSlider.get());
      // Half a step: one step off, the box still shows what was before.
      const near = Math.abs(parseFloat(box.value) - there) < 0.501 * target.noUiSlider.options.step;
      if (written && near) {
        control.dataset.decimals = (written[1] || "").length;
        control.dataset.unit = written[2] || "";
      }
      const number = `${there.toFixed(control.dataset.decimals || 2)} ${control.dataset.unit || ""}`;
      put(handle, "aria-label", name);
      put(handle, "aria-valuetext", written && near ? box.value : number.trim());
    }
    put(control.querySelector("button"), "aria-label", `reset ${name}`);
    const message = control.querySelector(".em-message");
    put(message, "role", "status");
    const wrong = message && message.textContent.trim() !== "";
    put(box, "aria-invalid", String(Boolean(wrong)));
  };
  // A picture too wide for a zoomed page is scrolled, not shrunk: by the keyboard too.
  const letScroll = (picture) => {
    if (picture.scrollWidth > picture.clientWidth + 1) {
      put(picture, "tabindex", "0");
      put(picture, "role", "group");
      put(picture, "aria-label", "picture, scrolls sideways");
    } else if (picture.hasAttribute("tabindex")) {
      for (const name of ["tabindex", "role", "aria-label"]) picture.removeAttribute(name);
    }
  };
  const sizes = new ResizeObserver((seen) => seen.forEach(({ target }) => letScroll(target)));
  const roles = [[".em-status", "status"], [".em-feedback", "status"], [".em-alert", "alert"]];
  const namePanel = (panel) => {
    put(panel, "role", "region");
    put(panel, "aria-label", (panel.querySelector(".em-title") || {}).textContent || "panel");
    for (const [where, role] of roles) panel.querySelectorAll(where).forEach((n) => put(n, "role", role));
    panel.querySelectorAll(".em-control").forEach(nameControl);
    panel.querySelectorAll(".em-drawing").forEach((picture) => sizes.observe(picture));
  };
  const nameAll = () => document.querySelectorAll(".em-panel").forEach(namePanel);
  // What is locked or hidden by its own entry drops the keyboard: the words that answer take it.
  let focused = null;
  const isGone = (node) => node.getClientRects().length === 0;
  const answerTo = (node) => {
    const panel = node.closest(".em-panel");
    if (panel && node.isConnected && isGone(node)) return panel.querySelector(".em-status");
    const entry = node.disabled && node.closest(".em-panel .em-entry");
    return entry && entry.querySelector(".em-feedback");
  };
  const keepKeyboard = () => {
    const answer = focused && answerTo(focused);
    if (!answer || isGone(answer)) return;
    if (![focused, document.body].includes(document.activeElement)) return;
    put(answer, "tabindex", "-1");
    answer.focus();
  };
  // Only what has changed is named anew: a page is large, and a slider moves often.
  const changed = new Set();
  const note = ({ type, target, addedNodes }) => {
    const own = target.closest && target.closest(".em-panel");
    if (own) changed.add(type === "attributes" ? target.closest(".em-control") || own : own);
    else if (type === "childList") {
      for (const node of addedNodes) {
        if (node.matches && node.matches(".em-panel")) changed.add(node);
        else if (node.querySelectorAll) node.querySelectorAll(".em-panel").forEach((n) => changed.add(n));
      }
    }
  };
  const nameChanged = () => {
    const parts = [...changed];
    changed.clear();
    for (const part of parts) {
      (part.matches(".em-panel") ? namePanel : nameControl)(part);
      moved.add(part.closest(".em-panel"));
    }
    keepKeyboard();
    clearTimeout(settling);
    settling = setTimeout(nameSettled, 300);
    window.enginemathNaming.takeRecords();
  };
  // A box's text comes last, and tells nobody that it has changed.
  const moved = new Set();
  let settling = 0;
  const nameSettled = () => {
    moved.forEach((panel) => panel && namePanel(panel));
    moved.clear();
    keepKeyboard();
    window.enginemathNaming.takeRecords();
  };
  window.enginemathNaming = new MutationObserver((records) => {
    const idle = changed.size === 0;
    records.forEach(note);
    if (idle && changed.size > 0) requestAnimationFrame(nameChanged);
  });
  window.enginemathNaming.observe(document.body, {
    childList: true, subtree: true, attributes: true, attributeFilter: ["aria-valuetext"],
  });
  const steps = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 5, PageDown: -5 };
  const moveHandle = (handle, key) => {
    const { noUiSlider } = handle.closest(".noUi-target");
    const { range, step } = noUiSlider.options;
    const ends = { Home: range.min, End: range.max };
    noUiSlider.set(key in ends ? ends[key] : Number(noUiSlider.get()) + steps[key] * step);
  };
  const keyInPanel = (event) => {
    const { target, key } = event;
    if (event.ctrlKey || event.metaKey || event.altKey || !target.closest(".em-panel")) return;
    const cell = target.closest(".jp-Cell");
    if (key === "Escape" && cell) cell.focus();
    const moves = key in steps || key === "Home" || key === "End";
    if (target.matches(".noUi-handle") && moves) {
      event.stopImmediatePropagation();
      event.preventDefault();
      if (!target.closest(".noUi-target").hasAttribute("disabled")) moveHandle(target, key);
    } else if (!target.matches("input[type=text]")) {
      if (moves || key === "Enter" || key.length === 1) event.stopImmediatePropagation();
    }
  };
  window.addEventListener("keydown", keyInPanel, true);
  window.addEventListener("focusin", ({ target }) => { focused = target; });
  window.addEventListener("focusout", ({ target }) => {
    if (isGone(target)) requestAnimationFrame(keepKeyboard);
    else if (!target.disabled) focused = null;
  });
  nameAll();
})();
