"""The build sheet: one engine's readings in a TOML file that a shop can keep (`format = 1`)."""

from enginemath.sheets.build_sheet import EXAMPLE, Sheet, parse, read_sheet, sheet_of, write_sheet

__all__ = ["EXAMPLE", "Sheet", "parse", "read_sheet", "sheet_of", "write_sheet"]
