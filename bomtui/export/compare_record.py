"""The comparison of two variants, or of two revisions, as one plain record."""

from decimal import Decimal
from typing import Annotated, Literal

from msgspec import Meta

from bomtui.export.records import (
    Amount,
    AssumptionRecord,
    Bound,
    Count,
    Heading,
    Record,
    amount_text,
    exact_text,
    rounded,
    single,
)
from bomtui.export.rollup_record import Sum
from bomtui.model.bound import Value
from bomtui.model.money import Total

Exact = Annotated[str, Meta(description="exact decimal amount, second less first", pattern=r"^-?[0-9]+(\.[0-9]+)?$")]
Better = Literal["", "first", "second", "same", "undecided"]


class ScopeRecord(Record, frozen=True, kw_only=True):
    """Which loads both sides serve; only over the same loads does a difference say which is better."""

    same: bool
    only_first: tuple[str, ...]
    only_second: tuple[str, ...]
    changed: Annotated[tuple[str, ...], Meta(description="loads that both serve, in another form")]
    both: Count


class FigureRecord(Record, frozen=True, kw_only=True):
    """A figure of one side: an amount as a string, any other as a number, null where nothing is known."""

    value: str | float | None
    bound: Bound
    unknown: Annotated[int, Meta(ge=0, description="how many terms are missing")]


class MeasureRecord(Record, frozen=True, kw_only=True):
    """One measure of both sides."""

    id: str
    name: str
    unit: Annotated[str, Meta(description="SI unit, d for days, a currency, or empty for a count")]
    first: FigureRecord
    second: FigureRecord
    difference: Annotated[str | None, Meta(description="second less first; null where one is not known exactly")]
    change_ratio: Annotated[float | None, Meta(description="difference over the first")]
    better: Annotated[Better, Meta(description="empty where no end is better, or scope or currency differ")]
    note: Annotated[str, Meta(description="what it is, where its name does not say it")]


class ShareRecord(Record, frozen=True, kw_only=True):
    """One step of the difference; all of them add to its total."""

    cause: str
    element: str
    what: Annotated[str, Meta(description="catalog key, in the cost of parts")]
    amount: Exact


class OwnerRecord(Record, frozen=True, kw_only=True):
    """Cost of a subsystem on both sides, or of what belongs to none (common, reserve)."""

    id: str
    first: Sum
    second: Sum
    difference: Exact


class DifferenceRecord(Record, frozen=True, kw_only=True):
    """Cost per vehicle, second less first: by cause, by element, by subsystem; each adds to the total exactly."""

    total: Exact
    unknown_first: Annotated[int, Meta(ge=0, description="terms that the first total lacks")]
    unknown_second: Annotated[int, Meta(ge=0, description="terms that the second total lacks")]
    by_cause: dict[str, Exact]
    by_element: dict[str, Exact]
    by_subsystem: tuple[OwnerRecord, ...]
    shares: tuple[ShareRecord, ...]


class PartChangeRecord(Record, frozen=True, kw_only=True):
    """A part of which quantity, rung or price differ; null where a side has no such part, or it is unknown."""

    part: str
    first: str | None
    second: str | None
    rung_first: int | None
    rung_second: int | None
    unit_price_first: str | None
    unit_price_second: str | None
    difference: Exact | None


class MakerRecord(Record, frozen=True, kw_only=True):
    """Cost and pieces of one maker."""

    maker: str
    preferred: bool
    first: Sum
    second: Sum
    first_pieces: str
    second_pieces: str
    first_ratio: Annotated[float | None, Meta(description="share of the cost of parts")]
    second_ratio: float | None


class InputRecord(Record, frozen=True, kw_only=True):
    """What the difference is with one input lower and higher by the swing ratio, all others as they are."""

    place: str
    down: Exact
    up: Exact
    swing: Amount
    turns: Annotated[bool, Meta(description="whether another side is then the cheaper one")]


class WireRecord(Record, frozen=True, kw_only=True):
    """How many more load wires in a zone make the dearer side as cheap, each run to the nearest module."""

    zone: str
    wires: Count
    saving: Amount
    earned: Amount


class CompareRecord(Record, frozen=True, kw_only=True):
    """Two variants, or two revisions, side by side; every difference is second less first."""

    format: Literal[1]
    title: str
    currency: Annotated[str, Meta(description="currency of the first side and of every difference")]
    demo: bool
    notice: str
    first: Heading
    second: Heading
    scope: ScopeRecord
    verdict: str
    difference: Annotated[DifferenceRecord | None, Meta(description="null where the currencies differ")]
    measures: tuple[MeasureRecord, ...]
    parts: tuple[PartChangeRecord, ...]
    makers: tuple[MakerRecord, ...]
    swing_ratio: float
    inputs: Annotated[tuple[InputRecord, ...], Meta(description="ranked by how far they move the difference")]
    break_even_wires: tuple[WireRecord, ...]
    assumptions: Annotated[tuple[AssumptionRecord, ...], Meta(description="those of the second side")]
    first_assumptions: Annotated[
        tuple[AssumptionRecord, ...], Meta(description="those of the first side that the second has not, or otherwise")
    ]
    cautions: tuple[str, ...]


def sum_of(total: Total, digits: int | None = None) -> Sum:
    """Return a total as a record."""
    text = exact_text(total.amount) if digits is None else amount_text(total.amount, digits)
    return Sum(amount=text, unknown=total.unknown)


def figure_of(figure: Value | Total) -> FigureRecord:
    """Return a figure of a measure as a record."""
    if isinstance(figure, Total):
        bound: Bound = "at_least" if figure.unknown else "exact"
        return FigureRecord(value=amount_text(figure.amount), bound=bound, unknown=figure.unknown)
    both = single(figure)
    return FigureRecord(value=both.typ, bound=both.bound, unknown=both.unknown)


def ratio_of(ratio: Decimal | None) -> float | None:
    """Return a ratio as a number."""
    return None if ratio is None else rounded(float(ratio))
