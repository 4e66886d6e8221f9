"""The command line: `enginemath …`, also `python -m enginemath …`."""

from __future__ import annotations

import argparse
import codecs
import contextlib
import json
import os
import re
import subprocess
import sys
import unicodedata
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import NoReturn

from enginemath import quiet_lab
from enginemath.units import Refused

LESSONS_FOLDER = Path("~/enginemath-lessons")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns:
        0 when it was done; 1 when `lessons --check` finds something to mend; 2 when what was given
        cannot be, 130 when it was stopped: both said in one line on standard error.
    """
    parser = _parser()
    _complete(parser)
    _survive_narrow_terminals()
    options = parser.parse_args(_with_negative_answer(arguments))
    try:
        text = options.command(options)
    except Refused as refusal:
        return _said(str(refusal), 2)
    except KeyboardInterrupt:
        return _said("stopped before the end; what was begun is taken back or whole", 130)
    except (MemoryError, RecursionError):
        return _said("what was given is too large or nested too deep", 2)
    except Exception as error:
        if os.environ.get(_SHOW_FAULTS):
            raise
        if isinstance(error, OSError) and error.filename:
            return _said(f"{error.filename}: {error.strerror}", 2)
        return _said(
            f"a fault of the kit itself ({type(error).__name__}: {error}): tell those who keep "
            f"it; with {_SHOW_FAULTS}=1 it shows where",
            2,
        )
    try:
        if text:
            print(text, flush=True)
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(error, BrokenPipeError):
            return _said(f"what was found cannot be written: {error.strerror}", 2)
    return getattr(options, "found_broken", 0)


def _said(sentence: str, code: int) -> int:
    print("enginemath:", " ".join(sentence.split()), file=sys.stderr)
    return code


_SHOW_FAULTS = "ENGINEMATH_SHOW_FAULTS"


def _complete(parser: argparse.ArgumentParser) -> None:
    """Answer a shell that asks how a line may go on, where argcomplete is installed."""
    if "_ARGCOMPLETE" in os.environ:
        with contextlib.suppress(ImportError):
            import argcomplete

            argcomplete.autocomplete(parser)


class _Version(argparse.Action):
    """Say which version this is; looked up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        from importlib.metadata import version

        print("enginemath", version("enginemath"))
        parser.exit()


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}; see {self.prog} --help\n")


def _with_negative_answer(arguments: Sequence[str] | None) -> list[str]:
    """`--answer -2.33cc` is no option of its own."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    for place, (option, answer) in enumerate(pairwise(words)):
        if option == "--answer" and re.match(r"-[\d.]", answer):
            words[place : place + 2] = [f"{option}={answer}"]
            break
    return words


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="enginemath", description="An engine's compression ratio, from bench readings."
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="which version this is")
    commands = parser.add_subparsers(required=True, metavar="command")

    ratio = _command(commands, "ratio", _ratio, "the stack of volumes and the ratio of a sheet")
    ratio.add_argument(
        "sheets", metavar="SHEET", nargs="+", help="a build sheet (TOML), or several"
    )
    ratio.add_argument("--units", choices=("in", "mm"), help="of all lengths")
    ratio.add_argument("--csv", type=Path, metavar="FILE", help="write a table, one row a cylinder")
    ratio.add_argument("--html", type=Path, metavar="FILE", help="write a page that prints clean")
    ratio.add_argument(
        "--so-far", action="store_true", help="what can be said already where readings are missing"
    )
    _json_option(ratio)

    new = _command(commands, "new", _new, "a sheet and a table for an engine of your own")
    new.add_argument("sheet", metavar="SHEET", type=Path, help="a new sheet, like bay3.toml")
    new.add_argument("--cylinders", type=_whole, default=4, metavar="N", help="how many (4)")
    new.add_argument("--banks", metavar="NAME,NAME", help="of a V engine: left,right")
    new.add_argument("--units", choices=("in", "mm"), default="mm", help="of lengths (mm)")

    record = _command(commands, "record", _record, "take an engine's readings, box after box")
    _sheet_argument(record)
    record.add_argument("--group", metavar="NAME", help="into a table of this group's own")
    record.add_argument("--after", type=Path, metavar="OLD", help="what the work left, beside OLD")
    record.add_argument(
        "--no-browser", action="store_true", help="print the address, open no browser"
    )

    merge = _command(commands, "merge", _merge, "the tables of several groups under one sheet")
    _sheet_argument(merge)
    merge.add_argument("tables", metavar="TABLE", nargs="+", type=Path, help="a table of readings")

    plan = _command(commands, "plan", _plan, "every combination of changes that reaches a target")
    _sheet_argument(plan)
    plan.add_argument("choices", metavar="OPTIONS", help="target, parts and cuts (TOML)")
    plan.add_argument("--top", type=_whole, default=10, metavar="N", help="plans to show (10)")
    plan.add_argument("--units", choices=("in", "mm"), help="of all lengths")
    plan.add_argument("--csv", type=Path, metavar="FILE", help="write a table, one row a plan")
    plan.add_argument("--html", type=Path, metavar="FILE", help="write a page that prints clean")
    _json_option(plan)

    order = _command(commands, "order", _order, "the work order of a plan, for the machine shop")
    _sheet_argument(order)
    order.add_argument("choices", metavar="OPTIONS", help="target, parts and cuts (TOML)")
    order.add_argument(
        "--plan", type=_whole, required=True, metavar="N", help="its number, as plan counts"
    )
    order.add_argument(
        "--out", type=Path, required=True, metavar="FILE", help="a new .html to print, or .txt"
    )

    diagnose = _command(commands, "diagnose", _diagnose, "which mistakes an answer shows")
    _sheet_argument(diagnose)
    diagnose.add_argument("--quantity", required=True, metavar="NAME", help="compression_ratio, …")
    diagnose.add_argument(
        "--answer", required=True, metavar="TEXT", help='what was written: "9.83"'
    )
    _json_option(diagnose)

    audit = _command(commands, "audit", _audit, "where a hand calculation first goes wrong")
    _sheet_argument(audit)
    audit.add_argument("steps", nargs="+", metavar="STEP=TEXT", help='swept_volume="588.3 cc" …')
    audit.add_argument("--target", type=float, metavar="RATIO", help="ratio that is to be reached")
    _json_option(audit)

    class_set = _command(commands, "class-set", _class_set, "a sheet of its own for each student")
    class_set.add_argument("roster", type=Path, metavar="ROSTER", help="name,id,period,group (CSV)")
    class_set.add_argument("--out", type=Path, required=True, metavar="DIR", help="a new folder")
    class_set.add_argument(
        "--level",
        metavar="NAME",
        help="of drawn engines: flat, dish, dome, inch, full (default), plan, cam",
    )
    class_set.add_argument(
        "--engine",
        type=Path,
        action="append",
        metavar="SHEET",
        help="an engine that stands in the bay; students read it themselves; may be repeated",
    )
    class_set.add_argument(
        "--by-bank", action="store_true", help="a group gets a bank of it, not a cylinder"
    )
    class_set.add_argument("--title", metavar="TEXT", help="of every sheet")
    class_set.add_argument("--hints", action="store_true", help="notebooks that check answers")
    _secret_options(class_set)

    mark = _command(commands, "mark", _mark, "mark what a class handed in")
    mark.add_argument(
        "returned", type=Path, metavar="DIR", help="notebooks, tables and work files handed in"
    )
    mark.add_argument("--out", type=Path, required=True, metavar="DIR", help="for the marks")
    mark.add_argument(
        "--key", type=Path, metavar="PATH", help="folder of the class set, or its key"
    )
    _secret_options(mark)

    lessons = _command(commands, "lessons", _lessons, "open the lessons as pages")
    lessons.add_argument(
        "--folder", type=Path, default=LESSONS_FOLDER, help=f"your own copy ({LESSONS_FOLDER})"
    )
    lessons.add_argument("--lesson", type=int, metavar="N", help="go straight to lesson N")
    lessons.add_argument("--lab", action="store_true", help="as notebooks, in JupyterLab")
    lessons.add_argument(
        "--demo", action="store_true", help="for the projector: large, answers covered"
    )
    lessons.add_argument(
        "--no-browser", action="store_true", help="print the address, open no browser"
    )
    lessons.add_argument("--check", action="store_true", help="say whether the kit works here")
    lessons.add_argument("--copy-only", action="store_true", help="copy, open nothing")

    site = _command(commands, "site", _site, "the lesson pages as files that need no Python")
    site.add_argument("--out", type=Path, required=True, metavar="DIR", help="folder to build")
    site.add_argument("--one-file", action="store_true", help="and as one file, for a stick")
    site.add_argument("--lab", action="store_true", help="and the notebooks, for who wants code")
    site.add_argument(
        "--sets", type=Path, metavar="DIR", help="a class set's sheets in them, each sealed"
    )
    site.add_argument(
        "--pyodide", type=Path, metavar="FILE", help="npm's file of pyodide, brought along"
    )
    return parser


def _command(
    commands: argparse._SubParsersAction[_Parser],
    name: str,
    run: Callable[[argparse.Namespace], str],
    purpose: str,
) -> argparse.ArgumentParser:
    parser = commands.add_parser(name, help=purpose, description=purpose)
    parser.set_defaults(command=run)
    return parser


def _sheet_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("sheet", metavar="SHEET", help="a build sheet (TOML)")


def _json_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="as JSON, for another program")


def _secret_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--secret", metavar="TEXT", help="class secret; stays in the shell's history"
    )
    parser.add_argument(
        "--secret-file", type=Path, metavar="FILE", help="file with the class secret"
    )


def _whole(text: str) -> int:
    if not (text.isdecimal() and int(text)):
        raise argparse.ArgumentTypeError(f"{text}: write a whole number, 1 or more")
    return int(text)


def _ratio(options: argparse.Namespace) -> str:
    from enginemath.classroom.in_parallel import for_each
    from enginemath.sheets.ratio_command import printed, report_of, write_files

    sheets, unit = options.sheets, options.units or ""
    reports = for_each(partial(report_of, so_far=options.so_far, unit=unit), sheets)
    write_files(sheets, reports, unit, options.csv, options.html)
    return printed(sheets, reports, unit, options.json)


def _new(options: argparse.Namespace) -> str:
    from enginemath.sheets.own_engine.new_sheet import new_engine

    banks = [] if options.banks is None else [name.strip() for name in options.banks.split(",")]
    return new_engine(options.sheet, options.cylinders, banks, options.units)


def _record(options: argparse.Namespace) -> str:
    from urllib.parse import urlencode

    from enginemath.sheets.own_engine.bench_record import BenchRecord
    from enginemath.sheets.own_engine.sharing import after_work, table_of_group

    sheet = _at_home(Path(options.sheet))
    if options.after is not None:
        after_work(sheet, _at_home(options.after))
    asked = {"sheet": sheet.name}
    if options.group is not None:
        asked["table"] = table_of_group(sheet, options.group)
    BenchRecord(sheet, asked.get("table", ""))  # what cannot be is said here, not on the page
    address = f"{quiet_lab.PAGES}?{urlencode(asked)}"
    _serve(sheet.parent, address, options.no_browser)
    return ""


def _merge(options: argparse.Namespace) -> str:
    from enginemath.sheets.own_engine.sharing import merge

    return merge(Path(options.sheet), options.tables)


def _plan(options: argparse.Namespace) -> str:
    from enginemath.change.plan_report import plan_report, plan_text
    from enginemath.change.price_list_file import read_options
    from enginemath.sheets import read_sheet

    sheet = read_sheet(options.sheet)
    report = plan_report(sheet, read_options(options.choices), options.top, options.units)
    if options.csv or options.html:
        from enginemath.change.plan_page import write_plan

        write_plan(report, options.csv, options.html, [options.sheet, options.choices])
    return _as_json(report) if options.json else plan_text(report)


def _order(options: argparse.Namespace) -> str:
    from enginemath.change.price_list_file import read_options
    from enginemath.change.work_order import plan_order, write_new_order
    from enginemath.sheets import read_sheet

    sheet = read_sheet(options.sheet)
    order = plan_order(sheet, read_options(options.choices), options.plan)
    write_new_order(order, options.out)
    return f"{options.out}: the work order of plan {options.plan}, to print and to sign"


def _diagnose(options: argparse.Namespace) -> str:
    from enginemath.answers import diagnose
    from enginemath.answers.quantities import asked_for
    from enginemath.answers.written_answer import read_answer
    from enginemath.sheets import read_sheet

    sheet, asked = read_sheet(options.sheet), asked_for(options.quantity)
    try:
        read_answer(options.answer, asked)
    except Refused as refusal:
        raise Refused(f"--answer: {refusal}") from None
    diagnosis = diagnose(sheet, options.quantity, options.answer)
    return _as_json(diagnosis.as_dict()) if options.json else str(diagnosis)


def _audit(options: argparse.Namespace) -> str:
    from enginemath.answers import audit
    from enginemath.sheets import read_sheet
    from enginemath.sheets.text_file import short

    working = {}
    for step in options.steps:
        name, equals, text = step.partition("=")
        if not equals:
            raise Refused(f'step {short(step)}: write name=text, like swept_volume="588.3 cc"')
        if name.strip() in working:
            raise Refused(f"step {name.strip()}: written twice; give each step once")
        working[name.strip()] = text
    found = audit(read_sheet(options.sheet), working, options.target)
    return _as_json(found.as_dict()) if options.json else str(found)


def _class_set(options: argparse.Namespace) -> str:
    from enginemath.classroom.commands import LEVEL, bay_set, class_set

    given = options.secret, options.secret_file, options.title, options.hints
    if options.engine:
        if options.level:
            raise Refused("--level is of drawn engines: give --level or --engine, not both")
        made = bay_set(options.roster, options.out, options.engine, *given, options.by_bank)
        return str(made)
    if options.by_bank:
        raise Refused("--by-bank deals out an engine in the bay: give --engine SHEET too")
    return str(class_set(options.roster, options.out, options.level or LEVEL, *given))


def _mark(options: argparse.Namespace) -> str:
    from enginemath.classroom.commands import mark
    from enginemath.pages.lesson_book import Book

    given = options.returned, options.out, options.secret, options.secret_file, options.key
    return str(mark(*given, Book()))


def _lessons(options: argparse.Namespace) -> str:
    from enginemath.quiet_lab.workfolder import deliver

    if options.check:
        from enginemath.quiet_lab.install_check import check_install, summary

        findings = check_install()
        options.found_broken = int(not all(finding.works for finding in findings))
        return summary(findings)
    delivery = deliver(_at_home(options.folder))
    first = _lesson_named(delivery.folder, options.lesson or 0)
    if options.copy_only:
        return str(delivery)
    print(delivery, flush=True)
    named = None if options.lesson is None else first.stem
    page = "" if options.lab else _page(named, projector=options.demo)
    _serve(delivery.folder, page, options.no_browser, first)
    return ""


def _serve(folder: Path, page: str, no_browser: bool, notebook: Path | None = None) -> None:
    """Jupyter's own server on a folder, opened on a page or, without one, on a notebook."""
    folder = folder.resolve()
    command = [
        *(sys.executable, "-Pm", "jupyterlab"),
        *([f"--LabApp.default_url={page}"] if page else [str(notebook and notebook.resolve())]),
        *(["--no-browser"] if no_browser else []),
        f"--ServerApp.root_dir={folder}",
    ]
    environment = quiet_lab.environment()
    if no_browser:
        environment[quiet_lab.SAY_ADDRESS] = page or f"/lab/tree/{notebook and notebook.name}"
    # The folder that this is started from may hold a jupyterlab.py, or settings of the server's
    # extensions, which are Python too: nothing is imported from it (P), and nothing run in it.
    with contextlib.suppress(KeyboardInterrupt):
        subprocess.run(command, env=environment, check=False, cwd=quiet_lab.SETTINGS)


def _site(options: argparse.Namespace) -> str:
    from enginemath.pages.offline.build import build_site

    return build_site(
        options.out,
        single=options.one_file,
        pyodide=options.pyodide,
        sets=options.sets,
        lab=options.lab,
    )


def _at_home(folder: Path) -> Path:
    try:
        return folder.expanduser()
    except RuntimeError:
        raise Refused(f"--folder {folder}: nobody here has a home folder of that name") from None


def _page(lesson: str | None, *, projector: bool) -> str:
    """The address of a lesson's page, or of the map's, on Jupyter's own server."""
    asked = ["projector=1"] if projector else []
    if lesson:
        asked.append(f"lesson={lesson}")
    return f"{quiet_lab.PAGES}?{'&'.join(asked)}" if asked else quiet_lab.PAGES


def _lesson_named(folder: Path, number: int) -> Path:
    found = sorted(folder.glob(f"{number:02d}-*.ipynb"))
    if found:
        return found[0]
    if number:
        raise Refused(f"lesson {number}: there is none; lessons are numbered from 0")
    return folder


def _as_json(report: object) -> str:
    return json.dumps(report, indent=2, allow_nan=False)


_PLAIN = {
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "±": "+/-", "×": "x", "·": "*", "÷": "/",
    "…": "...", "√": "sqrt", "π": "pi", "Δ": "delta ", "°": " deg", "²": "^2", "³": "^3",
    "½": "1/2", "¼": "1/4", "¾": "3/4", "≤": "<=", "≥": ">=", "≈": "about ", "→": "->", "µ": "u",
    "μ": "u", "“": '"', "”": '"', "‘": "'", "’": "'", "″": '"', "′": "'", "✓": "ok", "✗": "not",
    "\u00a0": " ", "\u2009": " ", "\u202f": " ",
}  # fmt: skip
"""What a terminal or a file of few letters gets for those it has not."""


def _plainly(error: UnicodeError) -> tuple[str, int]:
    """Stand-ins in plain letters; a bar of blocks in number signs."""
    assert isinstance(error, UnicodeEncodeError)
    plain = "".join(map(_plain_letter, error.object[error.start : error.end]))
    return plain, error.end


def _plain_letter(letter: str) -> str:
    if letter in _PLAIN:
        return _PLAIN[letter]
    if "\u2580" <= letter <= "\u259f":  # blocks
        return "#"
    if "\u2500" <= letter <= "\u257f":  # lines
        return "|" if letter in "│┃║" else "-"
    bare = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return bare or "?"


def _survive_narrow_terminals() -> None:
    codecs.register_error("enginemath.plain", _plainly)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="enginemath.plain")
