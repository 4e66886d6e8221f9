"""The engines that a panel can show: the kit's own, or the reader's."""

from __future__ import annotations

from functools import cache

from enginemath.engine.parts import Engine
from enginemath.engine.rules_of_thumb import REGULAR_FUEL, Rule, fuel_rule
from enginemath.panels.frame.setting import Choice
from enginemath.sheets import Sheet, kit_data, read_sheet, sheet_of
from enginemath.units import Refused

EngineOrName = str | Sheet | Engine


def engine_names() -> list[str]:
    """Names of the kit's engines.

    >>> engine_names()
    ['heron-eight', 'heron-four', 'heron-one']
    """
    sheets = (name.removesuffix(".toml") for name in kit_data.names() if name.endswith(".toml"))
    return [name for name in sheets if not name.endswith("-options")]


@cache
def kit_sheet(name: str) -> Sheet:
    """The build sheet of one of the kit's engines, read once.

    Raises:
        Refused: no engine of that name; lists the names.

    >>> kit_sheet("heron-four").engine.count
    4
    """
    if name not in engine_names():
        raise Refused(f'no engine "{name}"; there are: {", ".join(engine_names())}')
    return read_sheet(kit_data.path(f"{name}.toml"))


def engine_of(engine: EngineOrName) -> Engine:
    """An engine by name, from a sheet, or as it is."""
    return engine if isinstance(engine, Engine) else sheet_for(engine).engine


def sheet_for(engine: EngineOrName) -> Sheet:
    """The build sheet of an engine.

    >>> sheet_for("heron-four").name
    'Heron Four'
    """
    if isinstance(engine, str):
        return kit_sheet(engine)
    return engine if isinstance(engine, Sheet) else sheet_of(engine)


def engine_list(first: EngineOrName) -> Choice:
    """A list of the kit's engines to choose from, headed by the reader's own.

    Their sheets are read now, before a hand waits for one.
    """
    choice: list[tuple[str, EngineOrName]] = [
        (name.replace("-", " ").title(), name) for name in engine_names()
    ]
    if not isinstance(first, str):
        choice.insert(0, (engine_of(first).name, first))
    for name in engine_names():
        kit_sheet(name)
    engines = Choice("engine", "", choice)
    engines.put(first)
    return engines


def regular_fuel(engine: Engine) -> Rule | None:
    """The rule of thumb for the engine's fuel, where it is regular.

    The rule for premium asks for the head's metal, which a sheet does not say.

    >>> regular_fuel(engine_of("heron-four")).range
    '9 to 9.5'
    """
    index = engine.antiknock_index
    rule = None if index is None else fuel_rule(index)
    return rule if rule is REGULAR_FUEL else None


def fuel_band(engine: Engine) -> tuple[float, float] | None:
    """The band of `regular_fuel` for the number line."""
    return band_of(regular_fuel(engine))


def band_of(rule: Rule | None) -> tuple[float, float] | None:
    """A rule's range for the number line; None for no rule, or one that is open at an end."""
    if rule is None or rule.low is None or rule.high is None:
        return None
    return rule.low, rule.high
