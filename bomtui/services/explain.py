"""Explain a figure: run the engine on numbers that remember their fields, with a gate that remembers each step."""

import difflib
from decimal import Decimal

from bomtui.engine.calc import Recorder, origin_of
from bomtui.engine.figures import all_figures
from bomtui.engine.rollup import rollup
from bomtui.engine.tagging import tagged_snapshot
from bomtui.export.explanation import Explanation, explanation_record, explanation_text
from bomtui.model.bound import Value
from bomtui.model.money import Total
from bomtui.model.proposal import Snapshot

__all__ = ["Explanation", "UnknownFigureError", "explain", "explanation_record", "explanation_text", "figure_names"]

CORNERS = ("typ", "max")


class UnknownFigureError(ValueError):
    """No figure of the rollup has that name; the text names the nearest ones."""


def explain(snapshot: Snapshot, variant_id: str, figure: str) -> Explanation:
    """Explain one figure of a variant.

    Args:
        snapshot: Proposal and frozen parts.
        variant_id: Variant.
        figure: Name such as `ZENG.U1:junction_degc@WORK_DAY/max`; without a corner the typical one is meant.

    Raises:
        UnknownFigureError: There is no such figure.
    """
    figures = all_figures(rollup(tagged_snapshot(snapshot), variant_id, calc=Recorder()).result)
    name = _find(figure, figures)
    value = figures[name]
    return Explanation(name, value, origin_of(value.amount if isinstance(value, Total) else value))


def figure_names(snapshot: Snapshot, variant_id: str) -> tuple[str, ...]:
    """Return the names of all figures of a variant."""
    return tuple(all_figures(rollup(snapshot, variant_id).result))


def _find(figure: str, figures: dict[str, Value | Decimal | Total]) -> str:
    for candidate in (figure, f"{figure}/{CORNERS[0]}"):
        if candidate in figures:
            return candidate
    near = difflib.get_close_matches(figure, figures, n=3, cutoff=0.4)
    hint = f"; near are {', '.join(near)}" if near else ""
    raise UnknownFigureError(f"no figure is named '{figure}'{hint}")
