// What the test of fitting puts into a page: a line to Python, and looks at what does not fit.
window.lineToPython = () => {
  const line = { readyState: 1, send: (text) => {
    waits += 1;
    toPython(text).then((replies) => { replies.forEach((data) => line.onmessage({ data })); waits -= 1; });
  } };
  let waits = 0;
  window.settled = async () => { do await new Promise((then) => setTimeout(then, 4)); while (waits || moving.later.size); };
  setTimeout(() => line.onopen(), 0);
  return line;
};
window.doesNotFit = (least) => {
  const found = [], seen = (node) => {
    const { width, height } = node.getBoundingClientRect();
    return width > 1 && height > 1 && getComputedStyle(node).visibility !== "hidden";
  };
  for (const name of ["html", ".steps", "figure", ".board", ".notes", ".touch", ".results"])
    for (const node of $$(name)) {
      if (!seen(node)) continue;
      const down = node.scrollHeight - node.clientHeight, across = node.scrollWidth - node.clientWidth;
      if (down > 1) found.push(`${name} is ${down} px too high`);
      if (across > 1 && name !== ".steps") found.push(`${name} is ${across} px too wide`);
    }
  for (const node of $$("figure svg, figure .em-handle, figure img, section:not([hidden]) button")) {
    const box = node.getBoundingClientRect();
    if (seen(node) && (box.bottom > innerHeight + 1 || box.right > innerWidth + 1))
      found.push(`${node.getAttribute("aria-label") || node.tagName} is cut off`);
  }
  const small = new Set(), letters = (node, size) => { if (size < least - 0.05) small.add(`${size.toFixed(1)} px: ${node.textContent.slice(0, 30)}`); };
  for (const node of $$("figure svg text")) {
    const at = seen(node) && node.getScreenCTM();
    if (at) letters(node, parseFloat(getComputedStyle(node).fontSize) * Math.hypot(at.a, at.b));
  }
  if (least >= 20) for (const node of $$(".board td, .board th, .verdict, .saying, .seat label, .more"))
    if (seen(node) && node.textContent.trim()) letters(node, parseFloat(getComputedStyle(node).fontSize));
  if (small.size) found.push(`letters of ${[...small].slice(0, 3).join(", ")}`);
  const pictures = $$("figure svg, figure table, figure img").map((node) => node.getBoundingClientRect());
  const large = Math.max(0, ...pictures.map((box) => box.width * box.height)) / innerWidth / innerHeight;
  if (large < 0.3) found.push(`the largest thing takes ${Math.round(100 * large)} % of the screen`);
  return found;
};
// At 200 % the page is one column: it scrolls down, never across; nothing is cut, and what is drawn grows.
window.cutOff = () => {
  const found = document.documentElement.scrollWidth > innerWidth ? ["the page scrolls across"] : [];
  for (const node of document.querySelectorAll("body *:not(svg *)")) {
    const { width, height, right } = node.getBoundingClientRect(), style = getComputedStyle(node);
    if (width <= 1 || height <= 1 || !node.checkVisibility({ visibilityProperty: true }) || node.closest(".dimension.handled")) continue;
    const name = `${node.tagName} ${node.getAttribute("class") || node.textContent.slice(0, 30)}`;
    if (right > innerWidth + 1) found.push(`${name} is cut off at the right`);
    const scrolls = style.overflowY === "auto" && node.scrollWidth <= node.clientWidth + 1;
    if (scrolls || node.matches("svg, input, textarea, select") || style.overflow === "visible") continue;
    if (node.scrollWidth > node.clientWidth + 1 || node.scrollHeight > node.clientHeight + 1) found.push(`${name} is cut off`);
  }
  return found;
};
window.lostWhenZoomed = async () => {
  const found = [];
  for (const step of steps.values()) for (let part = Math.min(1, step.parts.length); part <= step.parts.length; part++) {
    go(step.step);
    if (part) openPart(step, part);
    await settled();
    const lost = (what) => found.push([step.title, `${step.step} ${step.title} ${part || ""} at 200 %: ${what}`]);
    cutOff().forEach(lost);
    for (const node of $$("figure svg text")) {
      const at = node.getBoundingClientRect().width && node.getScreenCTM();
      const size = at && 2 * parseFloat(getComputedStyle(node).fontSize) * Math.hypot(at.a, at.b);
      if (at && size < 16) lost(`a letter of ${size.toFixed(1)} px: ${node.textContent.slice(0, 30)}`);
    }
    if ($$("figure svg, figure table, figure img").every((node) => node.getBoundingClientRect().width < 0.6 * innerWidth)) lost("the largest thing is small");
  }
  return found;
};
