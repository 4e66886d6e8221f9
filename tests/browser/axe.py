"""axe in a page: what a screen reader, or weak eyes, would stumble over."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.base import AXE_SCRIPT

FINDS = """
async (inside) => {
  const known = (window.lookedAt ||= new Set()), parts = [...document.querySelectorAll(inside)];
  const looksLike = (node) => {
    const copy = node.cloneNode(true);
    for (const each of copy.querySelectorAll("svg > :not(.em-handles, title)")) each.remove();
    const tags = copy.outerHTML.replace(/>[^<]+</g, ">text<").replace(/[0-9.]+/g, "");
    return document.body.className + tags;
  };
  const include = parts.filter((node) => {
    const [seen, looks] = [node.getClientRects().length, looksLike(node)];
    return seen && !known.has(looks) && known.add(looks);
  });
  if (!include.length) return [];
  const inHand = document.activeElement;
  const aside = parts.filter((node) => !include.includes(node) && !node.contains(inHand));
  const places = aside.map(() => document.createComment(""));
  aside.forEach((node, place) => node.replaceWith(places[place]));
  const found = await axe.run({ include }, { resultTypes: ["violations"], preload: false });
  aside.forEach((node, place) => places[place].replaceWith(node));
  if (found.passes.length < 8) return ["axe looked at nothing"];
  return found.violations.filter(({ impact }) => ["serious", "critical"].includes(impact))
    .flatMap(({ id, nodes }) => nodes.map(({ html }) => `axe, ${id}: ${html.slice(0, 150)}`));
}
"""
"""What is built like something seen before, by its tags and all that they say of themselves, is
new to nobody. What is not looked at is set aside: axe goes through the whole document each time.
"""


def findings(page: Any, inside: str = "html") -> list[str]:
    """What axe finds serious or critical, a line an element.

    Args:
        page: a page that stands still.
        inside: selector of what is looked at, where it is built like nothing seen on this page.
    """
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    found: list[str] = page.evaluate(FINDS, inside)
    return found
