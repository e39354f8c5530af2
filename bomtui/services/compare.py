"""Two variants, or two revisions in two files, side by side: scope first, then measures, then why the cost differs."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.break_even import wire_break_even
from bomtui.engine.calc import PLAIN
from bomtui.engine.difference import share_of
from bomtui.engine.difference_by_cause import compared, part_changes
from bomtui.engine.exchange import own_amount
from bomtui.engine.sensitivity import ranked_inputs
from bomtui.model.break_even import WireBreakEven
from bomtui.model.comparison import Difference, PartChange, Scope
from bomtui.model.ids import natural_key
from bomtui.model.money import Total
from bomtui.model.sensitivity import Sensitivity
from bomtui.services.measures import Measure, measures
from bomtui.services.present import amount_text, counted, listed, signed_amount_text
from bomtui.services.review import Reviewed
from bomtui.services.rollup import Computed

NO_MAKER = "no maker given"
COMMON, RESERVE = "common", "reserve"
NAMED = 8
"""Loads that a sentence names before it counts the others."""


@dataclass(frozen=True, slots=True)
class MakerShare:
    """What a maker has of both sides.

    Attributes:
        maker: Its name.
        is_preferred: Whether its share is wanted.
        first: Cost of its parts per vehicle on the first side.
        second: The same on the second.
        first_pieces: Its pieces per vehicle on the first side.
        second_pieces: The same on the second.
        first_ratio: Its share of the cost of parts on the first side; None where that is not known or 0.
        second_ratio: The same on the second.
    """

    maker: str
    is_preferred: bool
    first: Total
    second: Total
    first_pieces: Decimal
    second_pieces: Decimal
    first_ratio: Decimal | None
    second_ratio: Decimal | None


@dataclass(frozen=True, slots=True)
class OwnerStep:
    """A subsystem, or what belongs to none: cost on both sides, and second less first; the steps add to the whole."""

    id: str
    first: Total
    second: Total
    difference: Decimal


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two variants side by side; every difference is second less first.

    Attributes:
        first: One side.
        second: The other.
        scope: Which loads both serve.
        difference: Cost by cause; None where the two are in different currencies.
        verdict: Which is cheaper, or why that is not said, as a sentence.
        measures: Every measure.
        parts: Parts that differ.
        makers: Cost and pieces by maker.
        owners: Steps by subsystem; empty where there is no difference to split.
        inputs: Inputs ranked by how far they move the difference.
        wires: Break-even wire counts.
    """

    first: Reviewed
    second: Reviewed
    scope: Scope
    difference: Difference | None
    verdict: str
    measures: tuple[Measure, ...]
    parts: tuple[PartChange, ...]
    makers: tuple[MakerShare, ...]
    owners: tuple[OwnerStep, ...]
    inputs: tuple[Sensitivity, ...]
    wires: tuple[WireBreakEven, ...]

    @property
    def currency(self) -> str:
        """Currency of the first side, and of all differences."""
        return _currency(self.first.computed)


def compare(first: Reviewed, second: Reviewed) -> Comparison:
    """Compare two variants.

    Args:
        first: One variant, computed and reviewed.
        second: The other, of the same proposal or of another one.
    """
    one, other = first.computed, second.computed
    scope, difference = compared(one.memo, other.memo)
    found = difference if _currency(one) == _currency(other) else None
    proposal = other.opened.snapshot.proposal
    rate = own_amount(PLAIN, proposal.settings.rates.wire_per_metre, proposal.programme, proposal.proposal.currency)
    is_one_vehicle = one.opened.snapshot.proposal.zones == proposal.zones
    return Comparison(
        first=first,
        second=second,
        scope=scope,
        difference=found,
        verdict=_verdict(one, other, scope, found),
        measures=measures(first, second, are_judged=scope.is_same, is_one_currency=found is not None),
        parts=() if found is None else part_changes(one.memo, other.memo),
        makers=() if found is None else _makers(one, other),
        owners=() if found is None else _owners(one, other),
        inputs=() if found is None else ranked_inputs(one.memo, other.memo),
        wires=wire_break_even(one.memo, other.memo, rate) if found is not None and is_one_vehicle else (),
    )


def _currency(computed: Computed) -> str:
    return computed.opened.snapshot.proposal.proposal.currency


def names_of(first: Computed, second: Computed) -> tuple[str, str]:
    """Return what tells the sides apart: variant, and revision or file where the variant alone does not."""
    if first.opened.path == second.opened.path:
        return first.variant, second.variant
    infos = [side.opened.snapshot.proposal.proposal for side in (first, second)]
    marks = [info.revision for info in infos]
    if not all(marks) or marks[0] == marks[1]:
        marks = [side.opened.stem for side in (first, second)]
    return f"{first.variant} ({marks[0]})", f"{second.variant} ({marks[1]})"


def _verdict(one: Computed, other: Computed, scope: Scope, difference: Difference | None) -> str:
    names = names_of(one, other)
    if not scope.is_same:
        missing = [
            f"only {name} serves {counted(len(loads), 'load', 'loads')} ({listed(loads, NAMED)})"
            for name, loads in zip(names, (scope.only_first, scope.only_second), strict=True)
            if loads
        ]
        return f"no verdict: the two do not serve the same loads; {'; '.join(missing)}"
    if difference is None:
        return f"no verdict: one is in {_currency(one)} and the other in {_currency(other)}"
    if not difference.is_known:
        lacks = f"{difference.unknown_first} and {difference.unknown_second} terms"
        known = signed_amount_text(difference.total)
        return f"no verdict: the totals lack {lacks}; of what is known the difference is {known} {_currency(one)}"
    if not difference.total:
        return "both cost the same"
    cheaper, dearer = (names[1], names[0]) if difference.total < 0 else names
    text = f"{cheaper} costs {amount_text(abs(difference.total))} {_currency(one)} a vehicle less than {dearer}"
    if scope.changed:
        changed = counted(len(scope.changed), "load is", "loads are")
        text += f"; {changed} not the same on both ({listed(scope.changed, NAMED)})"
    return text


def _makers(one: Computed, other: Computed) -> tuple[MakerShare, ...]:
    sides = [_by_maker(side) for side in (one, other)]
    totals = [side.rollup.cost.elements["parts"] for side in (one, other)]
    preferred = frozenset(other.opened.snapshot.proposal.programme.preferred_makers)
    nothing = (Total(amount=Decimal(0)), Decimal(0))
    found = []
    for maker in sorted(sides[0].keys() | sides[1].keys(), key=natural_key):
        (first, pieces), (second, other_pieces) = (side.get(maker, nothing) for side in sides)
        ratios = [
            None if own.unknown or total.unknown else PLAIN.exact(share_of, amount=own.amount, total=total.amount)
            for own, total in zip((first, second), totals, strict=True)
        ]
        found.append(MakerShare(maker, maker in preferred, first, second, pieces, other_pieces, ratios[0], ratios[1]))
    return tuple(sorted(found, key=lambda own: (not own.is_preferred, -own.second.amount)))


def _by_maker(side: Computed) -> Mapping[str, tuple[Total, Decimal]]:
    amounts: dict[str, list[Decimal | None]] = {}
    pieces: dict[str, list[Decimal]] = {}
    for line in side.rollup.cost.lines:
        part = side.opened.snapshot.parts.get(line.part)
        maker = (part.maker if part is not None else "") or NO_MAKER
        amounts.setdefault(maker, []).append(line.line_price)
        pieces.setdefault(maker, []).append(line.quantity)
    return {
        maker: (PLAIN.money([maker] * len(own), own), sum(pieces[maker], Decimal(0))) for maker, own in amounts.items()
    }


def _owners(one: Computed, other: Computed) -> tuple[OwnerStep, ...]:
    costs = (one.rollup.cost, other.rollup.cost)
    owners = sorted(costs[0].subsystems.keys() | costs[1].subsystems.keys(), key=natural_key)
    nothing = Total(amount=Decimal(0))
    rows = [
        (owner, costs[0].subsystems.get(owner, nothing), costs[1].subsystems.get(owner, nothing)) for owner in owners
    ]
    rows += [(COMMON, costs[0].common, costs[1].common), (RESERVE, costs[0].reserve, costs[1].reserve)]
    return tuple(
        OwnerStep(owner, first, second, PLAIN.money(("second", "less first"), (second.amount, -first.amount)).amount)
        for owner, first, second in rows
    )
