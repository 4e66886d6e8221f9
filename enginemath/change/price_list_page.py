"""What could be fitted and cut, with its price."""

from __future__ import annotations

from collections.abc import Iterator

from enginemath.change.price_list import GasketOption, Options, PistonOption
from enginemath.units import shop_unit, show
from enginemath.units.columns import in_columns


def price_list(options: Options) -> str:
    """What could be fitted and cut, with its price, as a table.

    >>> from enginemath.sheets.kit_data import path
    >>> from enginemath.change.price_list_file import read_options
    >>> print(price_list(read_options(path("heron-four-options.toml"))))
    gasket  composite        1.100 mm compressed, opening 89.900 mm  26
    gasket  medium steel     0.950 mm compressed, opening 89.200 mm  58
    gasket  thin steel       0.800 mm compressed, opening 89.200 mm  72
    piston  flat top         crown 1.70 cc                           236
    piston  shallow dish     crown 5.90 cc                           248
    piston  tall, same dish  crown 10.10 cc, sits 0.300 mm higher    312
    cut     deck             steps of 0.050 mm, at most 0.400 mm     150
    cut     head             steps of 0.050 mm, at most 0.800 mm     85
    """
    return "\n".join(in_columns(list(_rows(options))))


def _rows(options: Options) -> Iterator[tuple[str, str, str, str]]:
    for option in options.gaskets:
        if option.gasket is not None:
            yield "gasket", option.name, _gasket(option), f"{option.price:g}"
    for choice in options.pistons:
        if choice.piston is not None:
            yield "piston", choice.name, _piston(choice), f"{choice.price:g}"
    for name, cut in (("deck", options.deck_cut), ("head", options.head_cut)):
        if cut is not None:
            unit = shop_unit(cut.step)
            steps = f"steps of {show(cut.step, unit)}, at most {show(cut.largest, unit)}"
            yield "cut", name, steps, f"{cut.price:g}"


def _gasket(option: GasketOption) -> str:
    gasket = option.gasket
    if gasket is None or gasket.compressed_thickness is None or gasket.bore is None:
        return "volume " + show(gasket.volume, "cc") if gasket else ""
    unit = shop_unit(gasket.bore)
    thickness = show(gasket.compressed_thickness, unit)
    return f"{thickness} compressed, opening {show(gasket.bore, unit)}"


def _piston(option: PistonOption) -> str:
    crown = f"crown {show(option.piston.crown, 'cc')}" if option.piston else ""
    rise, unit = option.rise, shop_unit(option.rise)
    if not rise.magnitude:
        return crown
    return f"{crown}, sits {show(abs(rise), unit)} {'higher' if rise.magnitude > 0 else 'lower'}"
