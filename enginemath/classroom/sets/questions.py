"""What a worksheet asks: the questions in the order of the work, and how finely to answer."""

from __future__ import annotations

from dataclasses import dataclass

from enginemath.answers.quantities import Asked


@dataclass(frozen=True)
class WorksheetQuestion:
    """One question of a worksheet.

    Args:
        name: under which the answer is written, see `STEPS`.
        unit: ``"cc"``, ``"mm"``, or empty for a ratio.
        decimals: to be written.
        ask: what to work out, a sentence or two.
        formula: as on the blackboard.
        lesson: number of the lesson that teaches it.
    """

    name: str
    unit: str
    decimals: int
    ask: str
    formula: str
    lesson: int

    @property
    def asked(self) -> Asked:
        """As the reader of answers takes it."""
        return Asked(self.name, self.unit)

    @property
    def words(self) -> str:
        """The name as it is said."""
        return self.asked.words

    @property
    def title(self) -> str:
        """The name as a heading."""
        return self.words.capitalize()

    @property
    def precision(self) -> str:
        """How to write the answer.

        >>> QUESTIONS["swept_volume"].precision, QUESTIONS["compression_ratio"].precision
        ('in cc, two decimals', 'three decimals')
        """
        places = {2: "two decimals", 3: "three decimals"}[self.decimals]
        return f"in {self.unit}, {places}" if self.unit else places

    def written(self, value: float) -> str:
        """A value as it should be written, without its unit.

        >>> QUESTIONS["deck_volume"].written(-0.001)
        '0.00'
        """
        return f"{round(value, self.decimals) + 0.0:.{self.decimals}f}"


QUESTIONS = {
    question.name: question
    for question in (
        WorksheetQuestion(
            "swept_volume",
            "cc",
            2,
            "Swept volume of one cylinder.",
            "π/4 · bore² · stroke",
            1,
        ),
        WorksheetQuestion(
            "displacement",
            "cc",
            2,
            "Displacement of the whole engine.",
            "number of cylinders · swept volume",
            1,
        ),
        WorksheetQuestion(
            "chamber_volume",
            "cc",
            2,
            "Chamber volume: what ran out of the burette in all fills together.",
            "the sum of end − start of every fill",
            4,
        ),
        WorksheetQuestion(
            "gasket_volume",
            "cc",
            2,
            "Volume in the gasket's opening when the head is bolted down.",
            "π/4 · diameter² · thickness",
            5,
        ),
        WorksheetQuestion(
            "deck_volume",
            "cc",
            2,
            "Volume between the piston's edge and the deck at top dead centre; + where the "
            "piston stands below the deck.",
            "π/4 · bore² · deck clearance",
            5,
        ),
        WorksheetQuestion(
            "crown_volume",
            "cc",
            2,
            "Volume of the whole crown: + where it leaves more room than a flat piston, − where "
            "it takes room away.",
            "dish − dome + valve reliefs, or poured − π/4 · bore² · known depth",
            6,
        ),
        WorksheetQuestion(
            "clearance_volume",
            "cc",
            2,
            "Clearance volume: all the room above the piston at top dead centre.",
            "chamber + gasket + deck + crown + crevice",
            7,
        ),
        WorksheetQuestion(
            "compression_ratio",
            "",
            3,
            "Compression ratio of one cylinder.",
            "(swept volume + clearance volume) ÷ clearance volume",
            7,
        ),
        WorksheetQuestion(
            "wanted_clearance",
            "cc",
            2,
            "Clearance volume that gives the target ratio with the same swept volume.",
            "swept volume ÷ (target ratio − 1)",
            9,
        ),
        WorksheetQuestion(
            "volume_change",
            "cc",
            2,
            "By how much the clearance volume must change: + for more room, − for less.",
            "wanted − present clearance volume",
            9,
        ),
        WorksheetQuestion(
            "gasket_thickness",
            "mm",
            3,
            "Compressed thickness of a gasket of the same opening that makes the whole change.",
            "present thickness + change ÷ (π/4 · gasket bore²)",
            9,
        ),
        WorksheetQuestion(
            "squish_clearance",
            "mm",
            3,
            "Squish clearance with that gasket.",
            "deck clearance + compressed thickness",
            9,
        ),
        WorksheetQuestion(
            "piston_drop",
            "mm",
            3,
            "How far the piston stands below top dead centre when the intake closes.",
            "r + L − r · cos α − √(L² − (r · sin α)²), with crank radius r = stroke ÷ 2, rod "
            "length L, and α the crank's angle counted from top dead centre",
            10,
        ),
        WorksheetQuestion(
            "trapped_volume",
            "cc",
            2,
            "Trapped volume: what the piston still sweeps once the intake is closed.",
            "π/4 · bore² · piston drop",
            10,
        ),
        WorksheetQuestion(
            "effective_ratio",
            "",
            3,
            "Effective ratio of one cylinder: the ratio counted from the closing of the intake.",
            "(trapped volume + clearance volume) ÷ clearance volume",
            10,
        ),
    )
}
