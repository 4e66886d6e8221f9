"""A chart of printed sizes against sizes worked out, with a description in words."""

from __future__ import annotations

from base64 import b64encode
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from enginemath.drawing.paper.palette import BLUE, GREY, VERMILLION
from enginemath.sheets.printed_records import Record, records, spoken_rows
from enginemath.units import signed

if TYPE_CHECKING:
    from matplotlib.axes import Axes

BAND = 5.0
"""How many per cent a printed size may be off and still pass."""
_NEAR = 60, 4
"""A label goes to the left of its point where another lies so near to the right, and as high."""


@dataclass(frozen=True)
class Chart:
    """A picture for a notebook page, and what it shows in words."""

    png: bytes
    says: str

    def _repr_mimebundle_(self, **_: Any) -> tuple[dict[str, str], dict[str, Any]]:
        picture = {"image/png": b64encode(self.png).decode(), "text/plain": self.says}
        return picture, {"image/png": {"alt": self.says}}


def chart_of_sizes(band: float = BAND) -> Chart:
    """The records of 1985: size worked out from bore and stroke, against the printed size.

    Args:
        band: per cent off that is still let pass; what lies outside carries its row number.
    """
    from matplotlib.figure import Figure

    inside = [record for record in records() if abs(record.off) <= band]
    outside = [record for record in records() if abs(record.off) > band]
    figure = Figure(figsize=(8, 8.5), layout="constrained")
    sizes, off = figure.subplots(2, 1, sharex=True, height_ratios=(1, 1))
    _draw_sizes(sizes, inside, outside)
    _draw_off(off, inside, outside, band)
    file = BytesIO()
    figure.savefig(file, format="png", dpi=110)
    return Chart(file.getvalue(), _description(inside, outside, band))


def _draw_sizes(axes: Axes, inside: Sequence[Record], outside: Sequence[Record]) -> None:
    ends = [0, 350]
    axes.plot(ends, ends, color=GREY, linewidth=1, label="both equal", zorder=1)
    _dots(axes, inside, "worked_out")
    _flags(axes, outside, "worked_out", far=15)
    axes.set(ylabel="worked out from bore and stroke, cu in", xlim=(40, 345), ylim=(20, 345))
    axes.set_title("201 engines of 1985: size worked out, and size printed")
    axes.legend(loc="upper left")


def _draw_off(axes: Axes, inside: Sequence[Record], outside: Sequence[Record], band: float) -> None:
    axes.axhspan(-band, band, color=GREY, alpha=0.25, label=f"within {band:g} %")
    axes.axhline(0, color=GREY, linewidth=1)
    _dots(axes, inside, "off")
    _flags(axes, outside, "off")
    axes.set(xlabel="printed size, cu in", ylabel="worked out less printed, %", ylim=(-72, 58))
    axes.legend(loc="lower right")


def _dots(axes: Axes, inside: Sequence[Record], what: str) -> None:
    x, y = [r.size for r in inside], [getattr(r, what) for r in inside]
    axes.scatter(x, y, s=22, facecolors="none", edgecolors=BLUE, linewidths=0.9)


def _flags(axes: Axes, outside: Sequence[Record], what: str, far: float = 0.0) -> None:
    """Triangles, with a row number where a record is off by more than `far` per cent."""
    points = _together(outside, what)
    for (x, y), found in points.items():
        axes.scatter([x], [y], s=60, marker="^", color=VERMILLION, edgecolors="black", zorder=3)
        if abs(found[0].off) > far:
            left = any(0 < other - x < _NEAR[0] and abs(up - y) < _NEAR[1] for other, up in points)
            axes.annotate(
                spoken_rows(record.row for record in found),
                (x, y),
                xytext=(-8 if left else 8, -4),
                textcoords="offset points",
                horizontalalignment="right" if left else "left",
            )


def _together(found: Sequence[Record], what: str) -> dict[tuple[float, float], list[Record]]:
    """Records by the point at which they lie."""
    points = defaultdict(list)
    for record in found:
        points[record.size, getattr(record, what)].append(record)
    return dict(points)


def _description(inside: Sequence[Record], outside: Sequence[Record], band: float) -> str:
    every = sorted(record.size for record in (*inside, *outside))
    far = [
        f"{spoken_rows(record.row for record in found)}: {signed(found[0].off, 1)} %"
        for found in sorted(_together(outside, "off").values(), key=lambda found: found[0].off)
    ]
    return "\n".join(
        (
            f"Chart of {len(every)} engines; sizes printed: {every[0]:g} to {every[-1]:g} cu in.",
            "Above: size worked out, against size printed. Most points lie on the slanted line,",
            "where both are equal. Below: how far off, in per cent of the printed size.",
            f"{len(inside)} points (rings) lie in the grey band, within {band:g} %.",
            f"{len(outside)} points (triangles) lie outside it:",
            *far,
        )
    )
