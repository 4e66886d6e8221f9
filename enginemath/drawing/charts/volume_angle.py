"""Volume above the piston against the angle of the crank."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from enginemath.drawing.charts.plane import key_line, key_patch, plot
from enginemath.drawing.paper.palette import SCREEN, Style
from enginemath.drawing.paper.scales import Scale
from enginemath.drawing.paper.svg import Picture
from enginemath.formulas import geometry
from enginemath.units import MM3_PER_CC, fixed, words

WIDTH, HEIGHT = 700.0, 440.0
_STEP = 5


@dataclass(frozen=True)
class VolumeView:
    """One cylinder over a turn of the crank.

    Args:
        bore, stroke, rod_length, pin_offset: mm.
        clearance: cc.
        angle: of the crank now, degrees after top dead centre.
        intake_closes: degrees after bottom dead centre.
    """

    bore: float
    stroke: float
    rod_length: float
    clearance: float
    angle: float = 0.0
    intake_closes: float | None = None
    pin_offset: float = 0.0

    def volume(self, angle: float) -> float:
        """Volume above the piston at an angle after top dead centre, cc.

        >>> round(VolumeView(92.0, 88.5, 145.0, 66.6496).volume(180.0), 1)
        655.0
        """
        mm3 = geometry.cylinder_volume(
            self.bore,
            self.crank_radius,
            self.rod_length,
            angle,
            self.clearance * MM3_PER_CC,
            self.pin_offset,
        )
        return mm3 / MM3_PER_CC

    @cached_property
    def crank_radius(self) -> float:
        """Radius that the crank turns on, mm."""
        return geometry.crank_radius(self.stroke, self.rod_length, self.pin_offset)

    @property
    def swept(self) -> float:
        """Swept volume, cc."""
        return geometry.disc(self.bore, self.stroke) / MM3_PER_CC

    @property
    def here(self) -> float:
        """The crank's angle between −180 and 180 degrees.

        >>> VolumeView(92.0, 88.5, 145.0, 66.6, angle=270.0).here
        -90.0
        """
        return (self.angle + 180.0) % 360.0 - 180.0


def volume_against_angle(
    view: VolumeView,
    *,
    without_rod: bool = False,
    size: tuple[float, float] | None = None,
    key: str | None = None,
    style: Style = SCREEN,
) -> Picture:
    """Draw the volume over one turn, from bottom dead centre to bottom dead centre.

    Args:
        view: the cylinder.
        without_rod: whether the plain cosine, which forgets the rod, is drawn beside it.
        size: width and height, px.
        key: see `svg.Picture`.
        style: see `palette.Style`.

    >>> volume_against_angle(VolumeView(92.0, 88.5, 145.0, 66.6496, angle=-120.0)).title
    'Volume against crank angle: 542.2 cc at 120.0° before TDC'
    """
    width, height = size or style.framed(WIDTH, HEIGHT)
    now = view.volume(view.here)
    picture = Picture(
        "volume-angle",
        width,
        height,
        title=f"Volume against crank angle: {fixed(now, 1)} cc at {words.crank(view.here)}",
        description=_description(view, without_rod),
        key=key,
        style=style,
    )
    text = style.text
    across, upright = (-180.0, 180.0), (0.0, 1.12 * (view.clearance + view.swept))
    turned, enclosed = "crank, degrees after TDC", "volume, cc"
    quarters = (-180, -90, 0, 90, 180)
    level, rising = plot(picture, across, turned, upright, enclosed, top=5.2, at=quarters)
    floor = rising(view.clearance)
    picture.rect(
        "clearance",
        level.start,
        floor,
        level.end - level.start,
        rising(0.0) - floor,
        fill=picture.hatch("chamber"),
        stroke="none",
    )
    angles = range(-180, 181, _STEP)
    picture.trace(
        "curve", [(level(a), rising(view.volume(a))) for a in angles], stroke_width=1.6 * style.line
    )
    clearance = f"clearance {fixed(view.clearance, 1)} cc"
    x = key_patch(picture, level.start, 1.2 * text, clearance, "chamber")
    if without_rod:
        x = key_line(picture, x, 1.2 * text, "true motion", stroke_width=1.6 * style.line)
        least, swept = view.clearance, view.swept
        cosine = [(level(a), rising(least + geometry.cosine_drop(swept, a))) for a in angles]
        attributes = {"stroke_dasharray": "6 4", "stroke": style.quiet}
        picture.trace("cosine", cosine, **attributes)
        key_line(picture, x, 1.2 * text, "rod ignored", **attributes)
    if view.intake_closes is not None:
        _intake(picture, view, level, rising)
    _here(picture, view, level(view.here), rising(now), rising(0.0))
    return picture


def _intake(picture: Picture, view: VolumeView, level: Scale, rising: Scale) -> None:
    style, text = picture.style, picture.style.text
    assert view.intake_closes is not None
    closes = -180.0 + view.intake_closes
    x, y = level(closes), rising(view.volume(closes))
    picture.lines(
        "intake",
        ((x, rising(0.0), x, rising.end),),
        stroke_dasharray="3 3",
        stroke_width=style.thin,
    )
    picture.circle("intake-point", x, y, 0.38 * text, fill=style.paper)
    trapped = fixed(view.volume(closes) - view.clearance, 1)
    said = f"intake closes {_degrees(view)}° after BDC: {trapped} cc trapped above the clearance"
    picture.label(said, level.end, 2.7 * text, anchor="end", size=style.small, kind="note")


def _here(picture: Picture, view: VolumeView, x: float, y: float, base: float) -> None:
    """The crank now: a dot, and its volume beside it where the curve is not."""
    style, text, now = picture.style, picture.style.text, view.volume(view.here)
    picture.lines("here-line", ((x, base, x, y),), stroke_width=style.thin)
    picture.circle("here", x, y, 0.42 * text, fill=style.ink, stroke=style.paper)
    high, sinking = now > view.clearance + view.swept / 2, view.here < 0
    right = high == sinking
    picture.label(
        f"{fixed(now, 1)} cc",
        x + (text if right else -text),
        y - 1.3 * text if high else min(y + 1.3 * text, base - 0.4 * text),
        bold=True,
        anchor="start" if right else "end",
        kind="measure",
    )


def _degrees(view: VolumeView) -> str:
    """Intake closing to a tenth of a degree, as the panel's box shows it; a whole number bare."""
    return fixed(view.intake_closes or 0.0, 1).removesuffix(".0")


def _description(view: VolumeView, without_rod: bool) -> str:
    told = [
        f"{fixed(view.clearance, 1)} cc at top dead centre, "
        f"{fixed(view.clearance + view.swept, 1)} cc at bottom dead centre"
    ]
    if view.intake_closes is not None:
        closes = view.volume(-180.0 + view.intake_closes)
        told.append(
            f"{fixed(closes, 1)} cc when the intake closes, {_degrees(view)} degrees "
            "after bottom dead centre"
        )
    if without_rod:
        told.append("a dashed curve shows the motion if the rod is ignored")
    return "; ".join(told) + "."
