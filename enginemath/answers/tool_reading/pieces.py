"""What a reading is put together from: what each scale of the tool gives."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.answers.tool_reading.setting import Setting
from enginemath.drawing.instruments.caliper import VERNIERS
from enginemath.drawing.instruments.depth_micrometer import SCREWS as DEPTH_SCREWS
from enginemath.drawing.instruments.dial_indicator import FACES
from enginemath.drawing.instruments.screws import SCREWS, Screw
from enginemath.units import fixed

_NEAR = 1e-6
"""Of a step: what floating-point arithmetic leaves of a whole one."""


def pieces(setting: Setting) -> list[tuple[str, float]]:
    """The pieces of a reading, the coarse scale first, each under the name of its scale.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> pieces(Setting(TOOLS["micrometer", "mm"], 87.78, 75.0))
    [('frame', 75.0), ('sleeve', 12.5), ('thimble', 0.28)]
    >>> pieces(Setting(TOOLS["micrometer", "in"], 3.7925, 3.0))[2:]
    [('thimble', 0.017), ('vernier', 0.0005)]
    >>> pieces(Setting(TOOLS["burette", "mL"], 24.55))
    [('number', 24.0), ('lines', 0.55)]
    """
    begins = "rod" if setting.tool.name == "depth micrometer" else "frame"
    base = [(begins, setting.base)] if setting.base else []
    return [*base, *_on_scale(setting)]


def in_one_line(setting: Setting) -> str:
    """The sum, as it is written on the blackboard.

    >>> from enginemath.answers.tool_reading.tools import TOOLS
    >>> in_one_line(Setting(TOOLS["dial indicator", "mm"], 6.01))
    'small hand 6 + long hand 0.01 = 6.01 mm'
    """
    told = " + ".join(f"{name} {value:g}" for name, value in pieces(setting))
    return f"{told} = {fixed(setting.reading, setting.tool.decimals)} {setting.tool.unit}"


def _on_scale(setting: Setting) -> Iterator[tuple[str, float]]:
    name, unit = setting.tool.name, setting.tool.unit
    reading = setting.reading - setting.base

    def split(step: float) -> tuple[float, float]:
        whole = int(reading / step + _NEAR) * step
        return round(whole, 6), round(reading - whole, 6)

    if name in ("micrometer", "depth micrometer"):
        screw: Screw = (SCREWS if name == "micrometer" else DEPTH_SCREWS)[unit]
        sleeve, rest = split(screw.pitch)
        yield "sleeve", sleeve
        division = screw.pitch / screw.divisions
        lines = int(rest / division + _NEAR) * division if screw.vernier else rest
        yield "thimble", round(lines, 6)
        if screw.vernier:
            yield "vernier", round(rest - lines, 6)
        return
    if name == "dial indicator":
        coarse, fine, step = "small hand", "long hand", FACES[unit].turn
    elif name == "vernier caliper":
        coarse, fine, step = "beam", "vernier", VERNIERS[unit].division
    else:
        coarse, fine, step = "number", "lines", 1.0
    whole, rest = split(step)
    yield coarse, whole
    yield fine, rest
