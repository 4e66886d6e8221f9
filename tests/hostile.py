"""Made-up sheets, options, rosters, tables, answers and notebooks, broken in ways that a seed
chooses: each is read or refused, and nothing else."""

from __future__ import annotations

import json
import random
import re
import tempfile
from collections.abc import Callable
from pathlib import Path

from enginemath.answers import audit, diagnose
from enginemath.answers.quantities import QUANTITIES
from enginemath.answers.written_answer import read_answer
from enginemath.change.price_list_file import parse_options
from enginemath.classroom.from_outside import read_text
from enginemath.classroom.marking.papers import Paper, read_notebook, read_table
from enginemath.classroom.sets.roster import roster_of
from enginemath.sheets import EXAMPLE, parse
from enginemath.sheets.kit_data import path
from enginemath.sheets.ratio_report import ratio_report, ratio_text
from enginemath.sheets.study_file import study_of
from enginemath.units import Refused

NAMES = ("swept_volume", "gasket_volume", "deck_volume", "clearance_volume", "compression_ratio")
SHEET = parse(EXAMPLE)
OPTIONS = path("heron-four-options.toml").read_text(encoding="utf-8")

PIECES = [
    "0e999", ".0E+576", "1e-320", "5e-324 mm", "9" * 400, "-0", "nan", "inf", "1_000", "0x1f",
    "9,83", "1.234,5", "3 29/32 in", "1/0", "59.0 ± 0.4 cc", "± ± ±", "(9)", "9(9)", "1e308 mm",
    "−8.8", "٣", "½", "é", "漢", "\ud83d", "\u202e", "\x00", "\x0c", "\u2028", "\ufeff", "🔧",
    '"', "'", '"""', "\\", "\n", "\r", "\t", ";", ",", "=", ":=", "==", "+=", "#", "%time ", "!",
    "[", "]", "{", "}", "(", ")", "[[", "]]", ".", "a.b.c.", "lambda: ", "if 1: ", "def f(): ",
    "swept_volume", "compression_ratio = ", "student_id", "format = 1\n", "[gasket]\n",
    "[[piston]]\n", "name", "id", "price = ", "step = ", "true", "2024-02-31", "cc", "cu in", "mm",
    "=cmd()", "-12", "@x", "../../x", "<script>", "&amp;", " " * 50, "x" * 300,
]  # fmt: skip


_NUMBER = re.compile("[0-9]{1,6}(?:[.][0-9]{1,6})?")
_FACTORS = (0, -1, 0.001, 0.04, 0.5, 0.9, 1.1, 2, 10, 25.4, 1000, 1e9, 1e300)


def _encoded(text: str) -> str:
    """As a file would bring it: a lone half of a letter cannot come in through UTF-8."""
    return text.encode("utf-8", "replace").decode()


def broken(text: str, rng: random.Random) -> str:
    """A text with a few pieces put in, taken out, doubled or exchanged."""
    for _ in range(rng.choice((1, 1, 2, 3, 6))):
        place, length = rng.randrange(len(text) + 1), rng.choice((0, 1, 3, 10, 60))
        how = rng.randrange(9)
        if how == 0:
            text = text[:place] + rng.choice(PIECES) + text[place:]
        elif how == 1:
            text = text[:place] + text[place + length :]
        elif how == 2:
            text = text[:place] + rng.choice(PIECES) + text[place + length :]
        elif how == 3:
            text = text[:place] + text[place : place + length] * rng.choice((2, 5)) + text[place:]
        elif how > 4:
            numbers = [*_NUMBER.finditer(text)] or [None]
            one = rng.choice(numbers)
            if one:
                other = f"{float(one[0]) * rng.choice(_FACTORS):.6g}"
                text = text[: one.start()] + other + text[one.end() :]
        else:
            lines = text.splitlines(keepends=True)
            rng.shuffle(lines)
            text = "".join(lines)
    return text


def number(rng: random.Random) -> str:
    """An answer, as a student or a cat on the keyboard writes one."""
    return "".join(
        rng.choice([*PIECES, *"0123456789.-", "588.31", " cc", " mm", "e5"])
        for _ in range(rng.choice((1, 1, 2, 3)))
    )


def a_sheet(rng: random.Random) -> None:
    engine = parse(_encoded(broken(EXAMPLE, rng))).engine
    ratio_text(engine, ratio_report(engine))


def some_options(rng: random.Random) -> None:
    parse_options(_encoded(broken(OPTIONS, rng)))


ROSTER = 'name,id,period\n"Silva, Ana",1042,A\nNoor Haddad,1043,A\n-12;x,=1+1,\n'
TABLE = "id,name," + ",".join(NAMES) + "\n7,Ana,588.31,9.2,2.33,66.1,9.896\n8,Ben,,,,,\n"
STUDY = "group,cylinder,repeat,volume\n" + "".join(
    f"{group},{cylinder},{repeat},45.{repeat} cc\n" for group in "AB" for cylinder in "12"
    for repeat in "12"
)  # fmt: skip


def a_roster(rng: random.Random) -> None:
    for student in roster_of(_encoded(broken(ROSTER, rng))):
        assert student.file


def a_table(rng: random.Random) -> None:
    table = TABLE.replace(",", ";").replace(".", ",") if rng.random() < 0.3 else TABLE
    for _, paper in read_table(_encoded(broken(table, rng)), NAMES, []):
        _write(paper)


def a_study(rng: random.Random) -> None:
    study_of(_encoded(broken(STUDY, rng)))


def an_answer(rng: random.Random) -> None:
    asked = rng.choice(list(QUANTITIES.values()))
    text = number(rng)
    answer = read_answer(text, asked)
    assert answer.half_width > 0
    if rng.random() < 0.02:
        diagnose(SHEET, asked.name, text).as_dict()
    if rng.random() < 0.02:
        audit(SHEET, {name: number(rng) for name in rng.sample(NAMES, 3)}).as_dict()


def a_notebook(rng: random.Random) -> None:
    sources = [f'{name} = "{number(rng)}"' for name in NAMES]
    sources += [broken("if True:\n    swept_volume = 588.31\n", rng), "student_id = '7'"]
    cells = [{"cell_type": "code", "source": broken(s, rng) if rng.random() < 0.5 else s}
             for s in sources]  # fmt: skip
    text = json.dumps({"cells": cells, "metadata": {"enginemath": {"student": "7", "sheet": "x"}}})
    if rng.random() < 0.4:
        text = broken(text, rng)
    _write(read_notebook(_encoded(text), NAMES))


def a_file(rng: random.Random) -> None:
    """Bytes of any kind, as they lie in a folder."""
    with tempfile.NamedTemporaryFile(suffix=".ipynb") as file:
        file.write(rng.randbytes(rng.choice((0, 1, 3, 400))))
        file.flush()
        read_notebook(read_text(Path(file.name), 1000), NAMES)


def _write(paper: Paper) -> None:
    """What is taken over can be written into a page."""
    said = [paper.signed, *paper.notes, *(answer.text for answer in paper.answers.values())]
    "".join(said).encode()


KINDS: dict[str, Callable[[random.Random], None]] = {
    "sheet": a_sheet,
    "options": some_options,
    "roster": a_roster,
    "table": a_table,
    "study": a_study,
    "answer": an_answer,
    "notebook": a_notebook,
    "file": a_file,
}


def read_or_refused(kind: str, seed: int) -> bool:
    """Read one made-up input; true where it was read, false where it was refused."""
    try:
        KINDS[kind](random.Random(f"{kind} {seed}"))
    except Refused as refusal:
        str(refusal).encode("utf-8", "replace")
        return False
    return True
