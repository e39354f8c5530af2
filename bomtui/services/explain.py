"""Explain a figure: run the engine on numbers that remember their fields, with a gate that remembers each step."""

import difflib
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.calc import PLAIN, Gate, Recorder, origin_of
from bomtui.engine.check_figures import check_figures
from bomtui.engine.electrics import Electrics
from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import Computed, rollup
from bomtui.engine.tagging import tagged_snapshot
from bomtui.export.explanation import Explanation, explanation_record, explanation_text
from bomtui.model.bound import Value
from bomtui.model.money import Total
from bomtui.model.proposal import Snapshot
from bomtui.services.load_currents import load_figures
from bomtui.services.rail_currents import rail_figures

__all__ = [
    "AnyFigure", "Explanation", "Recording", "UnknownFigureError", "explain", "explanation_record", "explanation_text",
    "figure_names", "named_figures", "recorded",
]  # fmt: skip

CORNERS = ("typ", "max")

AnyFigure = Value | Decimal | Total
"""A quantity, an exact amount, or a sum of amounts."""


class UnknownFigureError(ValueError):
    """No figure of the rollup has that name; the text names the nearest ones."""


@dataclass(frozen=True, slots=True)
class Recording:
    """Every figure of a variant, each remembering how it came about.

    Attributes:
        figures: The figures by name.
    """

    figures: dict[str, AnyFigure]

    def explain(self, figure: str) -> Explanation:
        """Explain one figure.

        Args:
            figure: Name such as `ZENG.U1:junction_degc@WORK_DAY/max`; without a corner the typical one is meant.

        Raises:
            UnknownFigureError: There is no such figure.
        """
        name = _find(figure, self.figures)
        value = self.figures[name]
        return Explanation(name, value, origin_of(value.amount if isinstance(value, Total) else value))


def recorded(snapshot: Snapshot, variant_id: str) -> Recording:
    """Compute a variant so that each of its figures can be explained; takes several times as long as computing it.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Variant.
    """
    tagged, calc = tagged_snapshot(snapshot), Recorder()
    return Recording(named_figures(rollup(tagged, variant_id, calc=calc), calc))


def explain(snapshot: Snapshot, variant_id: str, figure: str) -> Explanation:
    """Explain one figure of a variant.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Variant.
        figure: Name such as `ZENG.U1:junction_degc@WORK_DAY/max`; without a corner the typical one is meant.

    Raises:
        UnknownFigureError: There is no such figure.
    """
    return recorded(snapshot, variant_id).explain(figure)


def named_figures(computed: Computed, calc: Gate = PLAIN) -> dict[str, AnyFigure]:
    """Return every figure that can be explained by its name: of a rollup, of its checks, of single loads and rails.

    Args:
        computed: The rollup.
        calc: Gate that it was computed with.
    """
    snapshot, result = computed.snapshot, computed.result
    electrics = Electrics(snapshot, result.variant, computed.serving, calc, computed.modules)
    return {
        **load_figures(snapshot.proposal, calc),
        **rail_figures(snapshot, result.variant, calc),
        **check_figures(electrics, result),
        **all_figures(result),
    }


def figure_names(snapshot: Snapshot, variant_id: str) -> tuple[str, ...]:
    """Return the names of all figures of a variant."""
    return tuple(named_figures(rollup(snapshot, variant_id)))


def _find(figure: str, figures: dict[str, AnyFigure]) -> str:
    for candidate in (figure, f"{figure}/{CORNERS[0]}"):
        if candidate in figures:
            return candidate
    near = difflib.get_close_matches(figure, figures, n=3, cutoff=0.4)
    hint = f"; near are {', '.join(near)}" if near else ""
    raise UnknownFigureError(f"no figure is named '{figure}'{hint}")
