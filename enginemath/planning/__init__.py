"""Every combination of gasket, pistons, deck cut and head cut that reaches a target, ranked."""

from enginemath.planning.options import Options
from enginemath.planning.reading import parse_options, read_options
from enginemath.planning.report import plan_report
from enginemath.planning.text import plan_text

__all__ = ["Options", "parse_options", "plan_report", "plan_text", "read_options"]
