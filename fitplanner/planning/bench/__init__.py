"""The plan carried to the bench: working steps, the specialist's order, what to buy."""

from fitplanner.planning.bench.order import Group, Order, order
from fitplanner.planning.bench.parts import Part, parts
from fitplanner.planning.bench.step import Blank, Quantity, Section, Step, TorqueLine
from fitplanner.planning.bench.steps import steps

__all__ = [
    "Blank",
    "Group",
    "Order",
    "Part",
    "Quantity",
    "Section",
    "Step",
    "TorqueLine",
    "order",
    "parts",
    "steps",
]
