"""Fitment in words: in which share of the vehicles something is, and whose cost a figure is."""

from bomtui.engine.fitment import is_everywhere
from bomtui.model.quantity import display
from bomtui.model.rollup import PartLine, Rollup
from bomtui.services.present import decimal_text

__all__ = ["AVERAGE_COST", "cost_unit", "fitted_text", "is_everywhere", "is_partly_built_in", "quantities_text"]

AVERAGE_COST = (
    "Average: what the fitment rates take of everything; need, order quantity and price rung follow from it. "
    "Lean: only what every vehicle has. Full: everything. Both are at the average one's unit prices. "
    "All other cost is the average vehicle's, and every figure that is no money is the full one's."
)


def fitted_text(fitment_ratio: float | None) -> str:
    """Write in which share of the vehicles something is: `fitted 40 %`; empty where all of them have it."""
    if is_everywhere(fitment_ratio) or fitment_ratio is None:
        return ""
    return f"fitted {display(fitment_ratio, 'ratio')}"


def cost_unit(currency: str, rollup: Rollup | None) -> str:
    """Write the unit of the cost of a vehicle: with `avg` where lean and full-fit vehicle cost something else."""
    return f"{currency} avg" if rollup is not None and rollup.cost.is_partly_fitted else currency


def is_partly_built_in(line: PartLine) -> bool:
    """Tell whether some vehicles have more of a part than others."""
    return not line.lean == line.quantity == line.full


def quantities_text(line: PartLine) -> str:
    """Write how much of a part a vehicle has: `1.4 average, 1 lean, 2 full`."""
    named = (("average", line.quantity), ("lean", line.lean), ("full", line.full))
    return ", ".join(f"{decimal_text(quantity)} {name}" for name, quantity in named)
