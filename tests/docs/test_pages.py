"""The pages build without a warning, every link inside leads somewhere, nothing is fetched."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from enginemath.answers import CATALOGUE
from tests.prose import LESSONS, ROOT

LOADED = {
    "script": ("src",),
    "img": ("src", "srcset"),
    "iframe": ("src",),
    "source": ("src", "srcset"),
    "audio": ("src",),
    "video": ("src", "poster"),
    "embed": ("src",),
    "object": ("data",),
    "image": ("href", "xlink:href"),
    "use": ("href", "xlink:href"),
    "link": ("href",),
}
FROM_THE_NETWORK = re.compile(r"(https?:)?//")


@dataclass
class Page(HTMLParser):
    """One page: its anchors, where its links lead, and what it loads."""

    html: str
    anchors: set[str] = field(default_factory=set)
    links: list[str] = field(default_factory=list)
    loads: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        HTMLParser.__init__(self)
        self.feed(self.html)
        self.loads += re.findall(r"url\(\s*['\"]?([^'\")]+)|@import\s+['\"]([^'\"]+)", self.html)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        """Note what one element says."""
        said = {name: value for name, value in attributes if value}
        self.anchors |= {said[name] for name in ("id", "name") if name in said}
        if tag == "a" and "href" in said:
            self.links.append(said["href"])
        if tag in LOADED:
            self.loads += [said[name] for name in LOADED[tag] if name in said]


def fetched(page: Page) -> list[str]:
    """What a page would load from the network."""
    addresses = ("".join(address) for address in page.loads)
    return [address for address in addresses if FROM_THE_NETWORK.match(address)]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages, built from nothing with warnings as errors."""
    folder = tmp_path_factory.mktemp("docs")
    command = [
        *(sys.executable, "-m", "sphinx", "-W", "--keep-going", "-q"),
        *("-d", folder / "read", ROOT / "docs", folder / "site"),
    ]
    built = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert built.returncode == 0, built.stderr
    return folder / "site"


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[Path, Page]:
    """Every page by its file."""
    return {path: Page(path.read_text(encoding="utf-8")) for path in site.rglob("*.html")}


def broken(path: Path, page: Page, pages: dict[Path, Page]) -> list[str]:
    """Links of one page that lead to no page, no file or no anchor."""
    found = []
    for link in page.links:
        address = urlsplit(link)
        if address.scheme or address.netloc:
            continue
        target = (path.parent / unquote(address.path)).resolve() if address.path else path
        anchor = unquote(address.fragment)
        if not target.is_file() or (
            anchor and target in pages and anchor not in pages[target].anchors
        ):
            found.append(f"{path.name}: {link}")
    return found


def test_every_link_inside_leads_somewhere(pages: dict[Path, Page]) -> None:
    assert sum(len(page.links) for page in pages.values()) > 500
    assert not [link for path, page in pages.items() for link in broken(path, page, pages)]


def test_nothing_is_loaded_from_the_network(site: Path, pages: dict[Path, Page]) -> None:
    assert sum(len(page.loads) for page in pages.values()) > 100
    assert not [address for page in pages.values() for address in fetched(page)]
    for style in site.rglob("*.css"):
        sheet = Page(f"<style>{style.read_text(encoding='utf-8')}</style>")
        assert not fetched(sheet), style.name


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.stem)
def test_every_lesson_is_a_page(site: Path, lesson: Path) -> None:
    page = (site / "lessons" / f"{lesson.stem}.html").read_text(encoding="utf-8")
    assert "What we found" in page
    assert "data:image/svg+xml" in page
    assert "&lt;panel" not in page


def test_formulas_need_no_script(site: Path) -> None:
    page = (site / "explanation" / "why-these-volumes.html").read_text(encoding="utf-8")
    assert page.count("<math") >= 3
    assert r"\frac" not in page
    assert not re.search(r"<script[^>]*(mathjax|katex)", page, re.IGNORECASE)


def test_every_mistake_has_a_line(site: Path) -> None:
    page = (site / "reference" / "mistakes.html").read_text(encoding="utf-8")
    listed = re.findall(r"<tr[^>]*><td>.*?<span class=\"pre\">([a-z-]+)</span>", page)
    assert listed == list(CATALOGUE)


def test_keys_are_not_among_the_pages(site: Path) -> None:
    assert not list(site.rglob("*solved*"))
    assert not list(site.rglob("*data-notes*"))


def test_a_broken_link_and_a_foreign_script_are_found(tmp_path: Path) -> None:
    here = tmp_path / "here.html"
    page = Page('<a href="gone.html">x</a><a href="#gone">y</a><a href="#here" id="here">z</a>')
    here.write_text(page.html)
    assert broken(here, page, {here: page}) == ["here.html: gone.html", "here.html: #gone"]
    assert fetched(Page('<script src="https://example.org/x.js"></script>'))
    assert fetched(Page("<style>@import '//example.org/x.css'; a {b: url(./c.png)}</style>"))
    assert not fetched(Page('<img src="data:image/png;base64,xyz"><a href="https://e.org">f</a>'))
