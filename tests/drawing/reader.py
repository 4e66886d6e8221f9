"""Reads a picture's SVG text back: every shape and every line of text in the picture's own px.

Text widths are those of DejaVu Sans, the widest face the kit names, taken from the font file
that matplotlib carries; the library's own table of widths plays no part here.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]
_NUMBER = r"-?\d+(?:\.\d+)?"


@dataclass(frozen=True)
class Drawn:
    """A shape: its class without prefix, its corner points, what shows of it, its attributes."""

    kind: str
    tag: str
    points: tuple[tuple[float, float], ...]
    box: Box
    shown: Box | None
    marks: dict[str, str]


@dataclass(frozen=True)
class Written:
    """A line of text, the box of its letters, and its marks."""

    text: str
    kind: str
    box: Box
    size: float
    fill: str


@dataclass(frozen=True)
class Reading:
    """All that a picture holds."""

    width: float
    height: float
    title: str
    description: str
    shapes: tuple[Drawn, ...]
    texts: tuple[Written, ...]
    ids: tuple[str, ...]

    def all(self, kind: str) -> list[Drawn]:
        return [shape for shape in self.shapes if shape.kind == kind]

    def one(self, kind: str) -> Drawn:
        (found,) = self.all(kind)
        return found

    def first(self, kind: str) -> Drawn:
        return self.all(kind)[0]

    def text(self, pattern: str) -> Written:
        return next(text for text in self.texts if re.search(pattern, text.text))


def read(svg: str) -> Reading:
    """Parse SVG text."""
    root = ElementTree.fromstring(svg)
    clips = {
        clip.attrib["id"]: _points_box(_points(next(iter(clip))))
        for clip in root.iter(f"{SVG}clipPath")
    }
    shapes: list[Drawn] = []
    texts: list[Written] = []
    _walk(root, (0.0, 0.0), None, {}, clips, shapes, texts)
    return Reading(
        float(root.attrib["width"]),
        float(root.attrib["height"]),
        root.findtext(f"{SVG}title") or "",
        root.findtext(f"{SVG}desc") or "",
        tuple(shapes),
        tuple(texts),
        tuple(element.attrib["id"] for element in root.iter() if "id" in element.attrib),
    )


def _walk(element, shift, clip, inherited, clips, shapes, texts) -> None:
    for child in element:
        tag = child.tag.removeprefix(SVG)
        if tag in ("defs", "title", "desc"):
            continue
        marks = {**inherited, **child.attrib}
        kind = child.attrib.get("class", "").removeprefix("em-")
        if tag in ("g", "a"):
            moved, window = shift, clip
            found = re.fullmatch(
                rf"translate\(({_NUMBER}) ({_NUMBER})\)", child.attrib.get("transform", "")
            )
            if found:
                moved = (shift[0] + float(found[1]), shift[1] + float(found[2]))
            if "clip-path" in child.attrib:
                name = child.attrib["clip-path"].removeprefix("url(#").removesuffix(")")
                window = _meet(_shifted(clips[name], shift), clip)
            inner = {k: v for k, v in marks.items() if k not in ("class", "transform", "clip-path")}
            _walk(child, moved, window, inner, clips, shapes, texts)
        elif tag == "text":
            texts.append(_written(child, kind, marks, shift))
        else:
            points = tuple((x + shift[0], y + shift[1]) for x, y in _points(child))
            if not points:
                continue
            box = _points_box(points)
            shapes.append(Drawn(kind, tag, points, box, _meet(box, clip), marks))


def _points(element) -> list[tuple[float, float]]:
    tag, at = element.tag.removeprefix(SVG), element.attrib
    if tag == "rect":
        x, y = float(at.get("x", 0)), float(at.get("y", 0))
        right, foot = x + float(at["width"]), y + float(at["height"])
        return [(x, y), (right, y), (right, foot), (x, foot)]
    if tag == "circle":
        x, y, r = (float(at.get(name, 0)) for name in ("cx", "cy", "r"))
        return [(x - r, y), (x, y - r), (x + r, y), (x, y + r)]
    if tag in ("polygon", "polyline"):
        return [tuple(map(float, pair.split(","))) for pair in at["points"].split()]
    if tag == "path":
        return _path_points(at["d"])
    raise AssertionError(f"the reader knows no <{tag}>")


def _path_points(drawn: str) -> list[tuple[float, float]]:
    points: list[tuple[float, float]] = []
    x = y = 0.0
    for command, rest in re.findall(r"([A-Za-z])([^A-Za-z]*)", drawn):
        n = [float(number) for number in re.findall(_NUMBER, rest)]
        if command in "ML":
            x, y = n
        elif command == "h":
            x += n[0]
        elif command == "v":
            y += n[0]
        elif command == "A":
            points += _arc_points((x, y), n)
            x, y = n[5], n[6]
        elif command == "Q":
            points += [(n[0], n[1])]
            x, y = n[2], n[3]
        elif command != "Z":
            raise AssertionError(f"the reader knows no path command {command}")
        points.append((x, y))
    return points


def _arc_points(start, numbers) -> list[tuple[float, float]]:
    """Points along a circular arc, by its centre (SVG 1.1, appendix F.6.5)."""
    radius, _, _, large, sweep, x2, y2 = numbers
    x1, y1 = start
    half = math.hypot(x2 - x1, y2 - y1) / 2
    if half == 0:
        return []
    up = math.sqrt(max(radius**2 - half**2, 0.0))
    sign = 1 if large != sweep else -1
    cx = (x1 + x2) / 2 - sign * up * (y2 - y1) / (2 * half)
    cy = (y1 + y2) / 2 + sign * up * (x2 - x1) / (2 * half)
    a, b = math.atan2(y1 - cy, x1 - cx), math.atan2(y2 - cy, x2 - cx)
    if sweep and b < a:
        b += 2 * math.pi
    if not sweep and b > a:
        b -= 2 * math.pi
    turns = [a + (b - a) * k / 24 for k in range(25)]
    return [(cx + radius * math.cos(t), cy + radius * math.sin(t)) for t in turns]


def _points_box(points) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _shifted(box: Box, shift) -> Box:
    return box[0] + shift[0], box[1] + shift[1], box[2] + shift[0], box[3] + shift[1]


def _meet(box: Box, clip: Box | None) -> Box | None:
    if clip is None:
        return box
    met = (max(box[0], clip[0]), max(box[1], clip[1]), min(box[2], clip[2]), min(box[3], clip[3]))
    return met if met[0] <= met[2] and met[1] <= met[3] else None


def _written(element, kind: str, marks: dict[str, str], shift) -> Written:
    text = element.text or ""
    size = float(marks["font-size"])
    width = real_width(text, size, marks.get("font-weight") == "bold")
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[marks.get("text-anchor", "start")] * width
    up, down = 0.74 * size, 0.20 * size
    if "transform" in element.attrib:
        found = re.fullmatch(
            rf"translate\(({_NUMBER}) ({_NUMBER})\) rotate\(-90\)", element.attrib["transform"]
        )
        x, y = float(found[1]) + shift[0], float(found[2]) + shift[1]
        box = (x - up, y - width + before, x + down, y + before)
    else:
        x, y = float(element.attrib["x"]) + shift[0], float(element.attrib["y"]) + shift[1]
        box = (x - before, y - up, x - before + width, y + down)
    return Written(text, kind, box, size, marks["fill"])


@lru_cache(maxsize=2)
def _face(bold: bool):
    import matplotlib
    from matplotlib.ft2font import FT2Font

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    face = FT2Font(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name))
    face.set_size(100, 72)
    return face


@lru_cache(maxsize=4096)
def _advance(character: str, bold: bool) -> float:
    return _face(bold).load_char(ord(character)).linearHoriAdvance / 65536 / 100


def real_width(text: str, size: float, bold: bool = False) -> float:
    """Width of a text in DejaVu Sans, px."""
    return sum(_advance(character, bold) for character in text) * size


def outside(reading: Reading) -> list[str]:
    """What reaches beyond the view box."""
    boxes = [(f"{s.tag}.{s.kind}", s.shown) for s in reading.shapes if s.shown]
    boxes += [(t.text, t.box) for t in reading.texts]
    slack = 0.05
    return [
        f"{name} {tuple(round(edge, 1) for edge in box)}"
        for name, box in boxes
        if box[0] < -slack
        or box[1] < -slack
        or box[2] > reading.width + slack
        or box[3] > reading.height + slack
    ]


def overlaps(reading: Reading) -> list[tuple[str, str]]:
    """Pairs of texts whose letters touch."""
    found = []
    for number, one in enumerate(reading.texts):
        for other in reading.texts[number + 1 :]:
            met = _meet(one.box, other.box)
            if met and met[2] - met[0] > 0.3 and met[3] - met[1] > 0.3:
                found.append((one.text, other.text))
    return found


def outline(svg: str) -> str:
    """The picture's structure: one line an element, its class, its place in whole px."""
    reading = read(svg)
    lines = [f"picture {reading.width:.0f} {reading.height:.0f}", f"title {reading.title}"]
    for shape in reading.shapes:
        corners = " ".join(f"{x:.0f},{y:.0f}".replace("-0", "0") for x, y in shape.points[:12])
        more = f" … {len(shape.points)}" if len(shape.points) > 12 else ""
        lines.append(f"{shape.tag} {shape.kind} {corners}{more}")
    for text in reading.texts:
        lines.append(f"text {text.kind} {text.box[0]:.0f},{text.box[1]:.0f} {text.text}")
    return "\n".join(lines) + "\n"
