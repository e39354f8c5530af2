"""In how many vehicles something is: a module, a device or load of it, and what these take on average."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from bomtui.engine.calc import UNTRACED, Gate, exact_of, formula, origin_of
from bomtui.model.load import Load
from bomtui.model.variant import Module


@formula(
    "quantity * module_fitment_ratio * own_fitment_ratio",
    "",
    "mean over all vehicles; a device or load is there only where its module is (definition)",
)
def average_quantity(quantity: Decimal, module_fitment_ratio: Decimal, own_fitment_ratio: Decimal) -> Decimal:
    """Quantity per average vehicle.

    Args:
        quantity: Quantity in a vehicle that has it.
        module_fitment_ratio: Share of all vehicles that have its module.
        own_fitment_ratio: Share of these that have it.

    Source: definition.
    """
    return quantity * module_fitment_ratio * own_fitment_ratio


class Unserved(NamedTuple):
    """Loads that no module serves: in the average vehicle, in the lean one, in the full-fit one."""

    average: int
    lean: int
    full: int


class Term(NamedTuple):
    """Something of a module that is in a share of all vehicles.

    Attributes:
        name: What it is.
        quantity: How much of it is in a vehicle that has it; None where that is not known.
        own_ratio: Share of the vehicles with the module that have it; None for all of them.
    """

    name: str
    quantity: Decimal | None
    own_ratio: float | None = None


class Fitted(NamedTuple):
    """A sum of terms, and how many terms it lacks."""

    amount: Decimal
    unknown: int


def is_everywhere(fitment_ratio: float | None) -> bool:
    """Tell whether every vehicle has something of this fitment; absent means that."""
    return fitment_ratio is None or fitment_ratio >= 1


def is_partly_fitted(module: Module, loads: Iterable[Load]) -> bool:
    """Tell whether a module, a device of it or a load that it serves has a fitment of its own."""
    return (
        module.fitment_ratio is not None
        or any(device.fitment_ratio is not None for device in module.devices.values())
        or any(load.fitment_ratio is not None for load in loads)
    )


def unserved_loads(loads: Iterable[Load]) -> Unserved:
    """Count loads that no module serves, by the vehicles that they are in."""
    ratios = [load.fitment_ratio for load in loads]
    return Unserved(sum(ratio != 0 for ratio in ratios), sum(map(is_everywhere, ratios)), len(ratios))


def fitment(calc: Gate, fitment_ratio: float | None) -> Decimal:
    """Return a fitment as an exact number; absent means every vehicle."""
    if fitment_ratio is None:
        everywhere: Decimal = calc.given(Decimal(1), "no fitment given: in all of them")
        return everywhere
    return exact_of(calc, fitment_ratio, str(origin_of(fitment_ratio)))


def on_average(calc: Gate, module: Module, terms: Sequence[Term], what: str) -> Fitted:
    """Add what the average vehicle takes of a module.

    What no vehicle has adds nothing, and lacks nothing, where it is not known.

    Args:
        calc: Gate.
        module: The module, for its fitment.
        terms: What it takes where it is.
        what: What the terms are, for the explanation.
    """
    there = [term for term in terms if module.fitment_ratio != 0 and term.own_ratio != 0]
    module_ratio = fitment(calc, module.fitment_ratio)
    amounts = [
        calc.exact(
            average_quantity,
            quantity=_known(calc, term, what),
            module_fitment_ratio=module_ratio,
            own_fitment_ratio=fitment(calc, term.own_ratio),
        )
        for term in there
    ]
    total = calc.money([term.name for term in there], amounts)
    return Fitted(total.amount, total.unknown)


def in_lean(module: Module, terms: Sequence[Term]) -> Fitted:
    """Add what the lean vehicle takes of a module: only what every vehicle has."""
    there = [term for term in terms if is_everywhere(module.fitment_ratio) and is_everywhere(term.own_ratio)]
    known = [term.quantity for term in there if term.quantity is not None]
    return Fitted(sum(known, Decimal(0)), len(there) - len(known))


def _known(calc: Gate, term: Term, what: str) -> Decimal | None:
    if term.quantity is None or origin_of(term.quantity) != UNTRACED:
        return term.quantity
    named: Decimal = calc.given(term.quantity, f"{what} of {term.name}")
    return named
