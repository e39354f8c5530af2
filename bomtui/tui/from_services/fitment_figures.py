"""Fitment as the details show it: in which vehicles something is, and how much of a part each of them has."""

from collections.abc import Iterator

from bomtui.model.quantity import display
from bomtui.model.rollup import PartLine
from bomtui.services.fitment import is_everywhere, is_partly_built_in, quantities_text
from bomtui.tui.view import Figure

ALL_VEHICLES = "the vehicles"


def fitment_figures(fitment_ratio: float | None, of: str = ALL_VEHICLES) -> Iterator[Figure]:
    """Yield in which share of the vehicles something is; nothing where all of them have it.

    Args:
        fitment_ratio: The share.
        of: Of what it is the share.
    """
    if fitment_ratio is not None and not is_everywhere(fitment_ratio):
        yield Figure("fitment", f"{display(fitment_ratio, 'ratio')} of {of}")


def part_figures(line: PartLine | None) -> Iterator[Figure]:
    """Yield how much of a part a vehicle has, where vehicles differ, and what a year takes of it."""
    if line is None or not is_partly_built_in(line):
        return
    yield Figure(f"{line.part} in a vehicle", quantities_text(line))
    need = "unknown" if line.need is None else str(line.need)
    yield Figure("needed in a year, average", need, "unknown" if line.need is None else "")
