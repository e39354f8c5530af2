"""What artefacts are made of, and the records that all of them share: heading, bounded figures, findings.

A record is the one definition of a JSON artefact: it is encoded as it stands, and the published schema is made from it.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import isinf
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from bomtui.export.cautions import CAUTIONS, DEMO_MARK, DEMO_NOTICE
from bomtui.model.bound import Range, Value, ends
from bomtui.model.finding import Finding, Need, Outcome, Review, Severity, Status
from bomtui.model.ids import natural_key
from bomtui.model.money import LINE_DIGITS, round_half_up
from bomtui.model.part import Part
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Proposal
from bomtui.model.quantity import MAX_SIGNIFICANT_DIGITS
from bomtui.model.rollup import Figure, Rollup

FORMAT = 1
"""Version of the JSON artefacts."""

PROGRAM = "bomtui"

CORNERS = (
    "typ: typical part values at the usual supply voltage of a mode, loads by their time share",
    "max: worst part values at the worst end of a mode's supply range; where one value is given it serves for both",
)
"""What the two figures of a pair stand for."""

Amount = Annotated[str, Meta(description="exact decimal amount", pattern=r"^-?[0-9]+(\.[0-9]+)?$")]
Count = Annotated[int, Meta(ge=0)]
Number = int | float
Bound = Literal["exact", "at_least", "at_most"]


class Record(msgspec.Struct, frozen=True, kw_only=True):
    """A plain record of an artefact."""


class Bounded(Record, frozen=True, kw_only=True):
    """A figure at its typical and its worst corner, in the SI unit of its name; null where nothing is known."""

    typ: float | None
    max: float | None
    bound: Annotated[Bound, Meta(description="exact, or on which side of the true figure both numbers lie")]
    unknown: Annotated[Count, Meta(description="how many terms are missing")]
    missing: Annotated[tuple[str, ...], Meta(description="names of the missing terms")] | UnsetType = UNSET


class PriceDates(Record, frozen=True, kw_only=True):
    """Days of the prices used; null where no part has one."""

    oldest: datetime.date | None
    newest: datetime.date | None
    unknown: Annotated[Count, Meta(description="priced parts whose price has no date")]


class ProblemRecord(Record, frozen=True, kw_only=True):
    """A fault of the proposal's files; what is faulty is not in the figures."""

    file: str
    line: int | None
    field: str
    message: str


class NeedRecord(Record, frozen=True, kw_only=True):
    """What a part would have to be for a finding to go away; limits by parameter, in SI units."""

    kinds: tuple[str, ...]
    least: dict[str, float]
    most: dict[str, float]
    has: tuple[str, ...]


class FindingRecord(Record, frozen=True, kw_only=True):
    """One rule's result at one place, failed or undecided."""

    rule: str
    severity: Severity
    place: str
    message: str
    measured: float | str | Bounded | None
    limit: float | str | Bounded | None
    unit: str
    status: Status
    outcome: Outcome
    remedy: str
    need: NeedRecord | None


class Checks(Record, frozen=True, kw_only=True):
    """How many places were checked, and with what result."""

    run: Count
    passed: Count
    warned: Count
    failed: Count
    undecided: Count
    rules: Annotated[tuple[str, ...], Meta(description="rules that ran; nothing else was checked")]


class AssumptionRecord(Record, frozen=True, kw_only=True):
    """Something taken for granted, or an open point."""

    id: str
    text: str
    owner: Annotated[str, Meta(description="who has to confirm it; empty where nobody has")]
    due: datetime.date | None
    effect: Annotated[str, Meta(description="what changes if it is wrong")]
    effect_cost: Annotated[
        str | None, Meta(description="amount and currency that a vehicle then costs more; null where unknown")
    ]
    status: str


class RateRecord(Record, frozen=True, kw_only=True):
    """A rate by which prices in another currency were taken over."""

    currency: str
    worth: Annotated[str, Meta(description="what one unit of it is worth, amount and currency")]
    date: datetime.date | None


class Heading(Record, frozen=True, kw_only=True):
    """What every artefact carries."""

    format: Literal[1]
    title: str
    proposal: Annotated[str, Meta(description="title of the proposal")]
    revision: str
    content_hash: Annotated[str, Meta(description="hash of proposal and frozen parts")]
    variant: str
    variant_name: str
    currency: str
    program: str
    program_version: str
    price_date: PriceDates
    rates: Annotated[tuple[RateRecord, ...], Meta(description="rates of the prices that are in another currency")]
    corners: Annotated[tuple[str, ...], Meta(description="what the two figures of a pair stand for")]
    sendable: Annotated[bool, Meta(description="whether there is no open error, accepted ones included, and no fault")]
    forced: Annotated[bool, Meta(description="whether it was written on demand although it is not sendable")]
    open_errors: Annotated[Count, Meta(description="findings of severity error, accepted ones included")]
    accepted_errors: Annotated[Count, Meta(description="those of them that somebody accepted")]
    checks_run: Annotated[Count, Meta(description="places checked, by all rules together")]
    rules_run: Annotated[Count, Meta(description="rules that were asked; nothing else was checked")]
    undecided: Annotated[Count, Meta(description="checks that could not be decided")]
    rules_undecided: Annotated[tuple[str, ...], Meta(description="rules of which some check could not be decided")]
    rules_idle: Annotated[tuple[str, ...], Meta(description="rules that found nothing to check")]
    file_problems: Annotated[Count, Meta(description="faults of the proposal's files")]
    demo: bool
    notice: Annotated[str, Meta(description="empty, or that the data are invented")]
    assumptions: Annotated[
        tuple[AssumptionRecord, ...], Meta(description="what is taken for granted, and who confirms it")
    ]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Basis:
    """All that an artefact is made of.

    Attributes:
        proposal: The proposal.
        parts: Frozen parts by key.
        rollup: Figures of the variant.
        review: Findings of the variant.
        content_hash: Hash of proposal and frozen parts.
        version: Version of the program.
        problems: Faults of the files.
        forced: Whether it is written on demand whatever the errors.
    """

    proposal: Proposal
    parts: Mapping[str, Part]
    rollup: Rollup
    review: Review
    content_hash: str
    version: str
    problems: tuple[ProblemRecord, ...] = ()
    forced: bool = False


def heading(basis: Basis, what: str) -> dict[str, object]:
    """Return the fields of `Heading`.

    Args:
        basis: What the artefact is made of.
        what: What the artefact is, for its title ("Parts list").
    """
    info = basis.proposal.proposal
    variant = basis.proposal.variants[basis.rollup.variant]
    title = f"{what}: {clean(info.name) or 'untitled proposal'}, variant {basis.rollup.variant}"
    return {
        "format": FORMAT,
        "title": f"{DEMO_MARK} - {title}" if info.demo else title,
        "proposal": info.name,
        "revision": info.revision,
        "content_hash": basis.content_hash,
        "variant": basis.rollup.variant,
        "variant_name": variant.name,
        "currency": info.currency,
        "program": PROGRAM,
        "program_version": basis.version,
        "price_date": price_dates(basis),
        "rates": rates(basis),
        "corners": CORNERS,
        "sendable": is_sendable(basis),
        "forced": basis.forced and not is_sendable(basis),
        "open_errors": open_errors(basis.review),
        "accepted_errors": sum(own.severity == "error" and own.status == "accepted" for own in basis.review.findings),
        "checks_run": sum(count.places for count in basis.review.counts),
        "rules_run": len(basis.review.counts),
        "undecided": undecided(basis.review),
        "rules_undecided": tuple(count.rule for count in basis.review.counts if count.undecided),
        "rules_idle": tuple(count.rule for count in basis.review.counts if not count.places),
        "file_problems": len(basis.problems),
        "demo": info.demo,
        "notice": DEMO_NOTICE if info.demo else "",
        "assumptions": assumptions(basis.proposal),
        "cautions": CAUTIONS,
    }


def assumptions(proposal: Proposal) -> tuple[AssumptionRecord, ...]:
    """Return the assumptions and open points of a proposal, in natural order."""
    return tuple(
        AssumptionRecord(
            id=key,
            text=own.text,
            owner=own.owner,
            due=own.due,
            effect=own.effect,
            effect_cost=None if own.effect_cost is None else f"{own.effect_cost.amount:f} {own.effect_cost.currency}",
            status=own.status,
        )
        for key, own in sorted(proposal.assumptions.items(), key=lambda item: natural_key(item[0]))
    )


def price_dates(basis: Basis) -> PriceDates:
    """Return the days of the prices that the figures rest on."""
    priced = [basis.parts[line.part] for line in basis.rollup.cost.lines if line.unit_price is not None]
    dates = [part.price_date for part in priced if part.price_date is not None]
    return PriceDates(
        oldest=min(dates, default=None), newest=max(dates, default=None), unknown=len(priced) - len(dates)
    )


def rates(basis: Basis) -> tuple[RateRecord, ...]:
    """Return the rates of the currencies in which parts of the list are priced, beside that of the proposal."""
    parts = [basis.parts[line.part] for line in basis.rollup.cost.lines if line.part in basis.parts]
    used = sorted({part.currency for part in parts if part.breaks} - {basis.proposal.proposal.currency, ""})
    known = basis.proposal.programme.exchange
    return tuple(
        RateRecord(
            currency=currency,
            worth="unknown" if rate is None or rate.worth is None else f"{rate.worth.amount:f} {rate.worth.currency}",
            date=None if rate is None else rate.date,
        )
        for currency, rate in ((currency, known.get(currency)) for currency in used)
    )


def is_sendable(basis: Basis) -> bool:
    """Tell whether there is no finding of severity error, accepted or not, and no fault of the files."""
    return not open_errors(basis.review) and not basis.problems


def open_errors(review: Review) -> int:
    """Count findings of severity error; one that somebody accepted counts too."""
    return sum(finding.severity == "error" for finding in review.findings)


def undecided(review: Review) -> int:
    """Count checks that could not be decided."""
    return sum(count.undecided for count in review.counts)


def checks(review: Review) -> Checks:
    """Return how many places were checked."""
    return Checks(
        run=sum(count.places for count in review.counts),
        passed=sum(count.passed for count in review.counts),
        warned=sum(count.warned for count in review.counts),
        failed=sum(count.failed for count in review.counts),
        undecided=undecided(review),
        rules=tuple(count.rule for count in review.counts),
    )


def finding_record(finding: Finding) -> FindingRecord:
    """Return a finding as a record."""
    return FindingRecord(
        rule=finding.rule,
        severity=finding.severity,
        place=finding.place,
        message=finding.message,
        measured=_compared(finding.measured),
        limit=_compared(finding.limit),
        unit=finding.unit,
        status=finding.status,
        outcome=finding.outcome,
        remedy=finding.remedy,
        need=None if finding.need is None else _need_record(finding.need),
    )


def _need_record(need: Need) -> NeedRecord:
    least, most = ({name: rounded(value) for name, value in limits.items()} for limits in (need.least, need.most))
    return NeedRecord(kinds=need.kinds, least=least, most=most, has=need.has)


def _compared(value: Value | str) -> float | str | Bounded | None:
    if isinstance(value, Range):
        return bounded(Figure(typ=value, max=value))
    return value if value is None or isinstance(value, str) else rounded(value)


def bounded(figure: Figure) -> Bounded:
    """Return a figure with its bound.

    Both corners lie on the same side of the truth: where one has no upper end, both numbers are lower ends.
    """
    values = (figure.typ, figure.max)
    ranges = [value for value in values if isinstance(value, Range)]
    blank = any(value is None for value in values)
    missing = frozenset[str]().union(*(value.unknown for value in ranges))
    if not ranges and not blank:
        bound: Bound = "exact"
    elif any(isinf(value.high) or (value.low > 0 and not isinf(value.low)) for value in ranges) or not ranges:
        bound = "at_least"
    else:
        bound = "at_most"
    typ, largest = (_end(value, bound) for value in values)
    return Bounded(
        typ=typ,
        max=largest,
        bound=bound,
        unknown=len(missing) + blank,
        missing=tuple(sorted(missing)) or UNSET,
    )


def single(value: Value) -> Bounded:
    """Return a figure that has one value for both corners."""
    return bounded(Figure(typ=value, max=value))


def _end(value: Value, bound: Bound) -> float | None:
    if value is None:
        return None
    low, high = ends(value)
    end = high if bound == "at_most" else low
    return None if isinf(end) else rounded(end)


def rounded(number: float) -> float:
    """Round to the digits that every platform agrees on."""
    return float(f"{number:.{MAX_SIGNIFICANT_DIGITS}g}")


def amount_text(amount: Decimal, digits: int = LINE_DIGITS) -> str:
    """Write an amount rounded half up."""
    return format(round_half_up(amount, digits), "f")


def exact_text(amount: Decimal) -> str:
    """Write an amount as it stands."""
    return format(amount, "f")


def plain_number(amount: Decimal) -> Number:
    """Return a quantity as a number, whole where it is."""
    return int(amount) if amount == amount.to_integral_value() else float(amount)
