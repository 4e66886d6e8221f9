"""The work order: what a machine shop is to do to an engine, on paper that both sides sign."""

from enginemath.change.work_order.order import (
    Height,
    WorkOrder,
    first_orders,
    plan_order,
    work_order,
)
from enginemath.change.work_order.page import (
    order_link,
    order_page,
    order_text,
    write_new_order,
    write_order,
)

__all__ = [
    "Height",
    "WorkOrder",
    "first_orders",
    "order_link",
    "order_page",
    "order_text",
    "plan_order",
    "work_order",
    "write_new_order",
    "write_order",
]
