"""A tap that is held open: water runs for as long as a hand turns it."""

from __future__ import annotations

from collections.abc import Callable

from enginemath.panels.frame.hand_piece import HandPiece
from enginemath.panels.frame.setting import Entry
from enginemath.units import Refused, fixed, nominal, read_as

Kept = list[tuple[str, Entry]]
DROP = 0.05
"""What falls when it is opened for a moment, in cc."""
LEAST, MOST = 8.0, 90.0
"""Where it begins to run and where it is wide open, in degrees."""
_SLOW, _FAST = 0.3, 6.0
"""cc a second at both ends; common practice for a burette's tap, no source."""


def flow(angle: float) -> float:
    """What runs from a tap so far open, in cc a second.

    >>> flow(0), flow(8), flow(90)
    (0.0, 0.3, 6.0)
    """
    if angle < LEAST:
        return 0.0
    share = (angle - LEAST) / (MOST - LEAST)
    return round(_SLOW + (_FAST - _SLOW) * share**2, 6)


class Tap(HandPiece):
    """A burette's tap.

    Each place that it is turned to lets water run for one beat; a text lets out what it says.

    Args:
        run: lets so many cc out, perhaps none, and shows it; raises `Refused` where none can run.
    """

    let_go = True

    def __init__(self, run: Callable[[float], None]):
        super().__init__("tap", "tap", (0.0, MOST), unit="°", step=2.0, runs=LEAST,
                         moved=self._turn, says=_how_far)  # fmt: skip
        self._run = run
        self.ran = 0.0
        self._owed = 0.0

    def take(self, entry: Entry) -> None:
        """Turn it, or let out an amount."""
        self.ran = 0.0
        super().take(entry)

    def shut(self) -> None:
        """Shut it, without telling."""
        self.put(0.0)
        self._owed = 0.0

    def _turn(self, angle: float) -> None:
        if angle <= 0:
            self._owed = 0.0
            self._run(0.0)
            return
        first = not self._owed
        self.put(max(angle, LEAST))
        self._owed += DROP if first else flow(self.at) * self.BEAT
        drops = int(self._owed / DROP + 1e-9)
        self._owed += 1e-9 - drops * DROP
        self._run(drops * DROP)
        self.ran += drops * DROP

    def _type(self, text: str) -> None:
        try:
            self._let_out(nominal(read_as(text, "cc").m_as("cc")))
        except Refused as refusal:
            self.says = str(refusal)

    def _let_out(self, cc: float) -> None:
        if cc <= 0:
            raise Refused("tap: an amount to let out, like 0.20 cc")
        self._run(cc)
        self.ran += cc

    def kept_in(self, kept: Kept) -> Kept:
        """The entries of a panel after this one: what ran in a row is one amount."""
        if not self.ran:
            return kept
        cc = self.ran
        if kept and kept[-1][0] == self.name:
            cc += float(str(kept[-1][1]).split()[0])
            kept = kept[:-1]
        return [*kept, (self.name, f"{fixed(cc, 4)} cc")]


def _how_far(angle: float) -> str:
    return "shut" if angle <= 0 else "water runs"
