"""The work order: what a machine shop is to do to an engine, on paper that both sides sign."""

from enginemath.change.work_order.height import Height
from enginemath.change.work_order.order import WorkOrder, work_order
from enginemath.change.work_order.page import order_link, order_page, write_order
from enginemath.change.work_order.text import order_text

__all__ = [
    "Height",
    "WorkOrder",
    "order_link",
    "order_page",
    "order_text",
    "work_order",
    "write_order",
]
