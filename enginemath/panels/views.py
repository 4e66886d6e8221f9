"""From an engine to the plain numbers that a panel and its drawing take."""

from enginemath.drawing.views import one_cylinder, plain, section_view, stack_view

__all__ = ["one_cylinder", "plain", "section_view", "stack_view"]
