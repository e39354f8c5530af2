"""A comparison as a file: JSON with a published schema, or a page of Markdown."""

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from bomtui.export.cautions import CAUTIONS, DEMO_MARK, DEMO_NOTICE
from bomtui.export.compare_markdown import compare_markdown
from bomtui.export.compare_record import (
    CompareRecord,
    DifferenceRecord,
    InputRecord,
    MakerRecord,
    MeasureRecord,
    OwnerRecord,
    PartChangeRecord,
    ScopeRecord,
    ShareRecord,
    WireRecord,
    figure_of,
    ratio_of,
    sum_of,
)
from bomtui.export.json import json_bytes
from bomtui.export.records import Basis, Heading, assumptions, exact_text, heading
from bomtui.model.comparison import Difference
from bomtui.model.money import LINE_DIGITS
from bomtui.model.plain_text import clean
from bomtui.model.quantity import DIMENSIONS
from bomtui.services.artefact import basis
from bomtui.services.compare import Comparison, OwnerStep, names_of
from bomtui.services.compare_words import MEASURE_WORDS
from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output
from bomtui.services.measures import Measure
from bomtui.services.present import decimal_text

_WRITERS: dict[str, Callable[[CompareRecord], bytes]] = {"json": json_bytes, "md": compare_markdown}
SUFFIXES = tuple(f".{name}" for name in _WRITERS)
"""File name endings that say in which format a comparison is written."""


def compare_record(comparison: Comparison, *, forced: bool = False) -> CompareRecord:
    """Return a comparison as a record.

    Args:
        comparison: The comparison.
        forced: Whether it is written on demand whatever the errors.
    """
    sides = (basis(comparison.first, forced=forced), basis(comparison.second, forced=forced))
    is_demo = any(side.proposal.proposal.demo for side in sides)
    names = names_of(comparison.first.computed, comparison.second.computed)
    title = f"Comparison: {clean(sides[1].proposal.proposal.name) or 'untitled proposal'}, {names[0]} and {names[1]}"
    return CompareRecord(
        format=1,
        title=f"{DEMO_MARK} - {title}" if is_demo else title,
        currency=comparison.currency,
        demo=is_demo,
        notice=DEMO_NOTICE if is_demo else "",
        first=_heading(sides[0]),
        second=_heading(sides[1]),
        scope=ScopeRecord(
            same=comparison.scope.is_same,
            only_first=comparison.scope.only_first,
            only_second=comparison.scope.only_second,
            changed=comparison.scope.changed,
            both=comparison.scope.both,
        ),
        verdict=comparison.verdict,
        difference=None if comparison.difference is None else _difference(comparison.difference, comparison.owners),
        measures=tuple(_measure(own, comparison.currency) for own in comparison.measures),
        parts=_parts(comparison),
        makers=_makers(comparison),
        swing_ratio=sides[1].proposal.programme.swing_ratio,
        inputs=tuple(
            InputRecord(
                place=own.place,
                down=exact_text(own.down),
                up=exact_text(own.up),
                swing=exact_text(own.swing),
                turns=own.turns,
            )
            for own in comparison.inputs
        ),
        break_even_wires=tuple(
            WireRecord(zone=own.zone, wires=own.wires, saving=exact_text(own.saving), earned=exact_text(own.earned))
            for own in comparison.wires
        ),
        assumptions=assumptions(sides[1].proposal),
        first_assumptions=tuple(
            own for own in assumptions(sides[0].proposal) if own not in assumptions(sides[1].proposal)
        ),
        cautions=CAUTIONS,
    )


def _heading(side: Basis) -> Heading:
    return Heading(**heading(side, "Rollup"))  # type: ignore[arg-type]


def _difference(difference: Difference, owners: tuple[OwnerStep, ...]) -> DifferenceRecord:
    return DifferenceRecord(
        total=exact_text(difference.total),
        unknown_first=difference.unknown_first,
        unknown_second=difference.unknown_second,
        by_cause={cause: exact_text(amount) for cause, amount in difference.by_cause.items()},
        by_element={element: exact_text(amount) for element, amount in difference.by_element.items()},
        by_subsystem=tuple(
            OwnerRecord(
                id=own.id, first=sum_of(own.first), second=sum_of(own.second), difference=exact_text(own.difference)
            )
            for own in owners
        ),
        shares=tuple(
            ShareRecord(cause=own.cause, element=own.element, what=own.what, amount=exact_text(own.amount))
            for own in difference.shares
        ),
    )


def _measure(own: Measure, currency: str) -> MeasureRecord:
    units = {"money": currency, "count": "", "days": "d"}
    return MeasureRecord(
        id=own.id,
        name=own.name.strip(),
        unit=units[own.dimension] if own.dimension in units else DIMENSIONS[own.dimension].si_unit,
        first=figure_of(own.first),
        second=figure_of(own.second),
        difference=_step(own),
        change_ratio=ratio_of(own.change_ratio),
        better=own.better,
        note=MEASURE_WORDS.get(own.id, ""),
    )


def _step(own: Measure) -> str | None:
    if own.difference is None:
        return None
    if own.dimension == "money":
        return exact_text(round(own.difference, LINE_DIGITS))
    return decimal_text(Decimal(f"{own.difference:.6g}"))


def _parts(comparison: Comparison) -> tuple[PartChangeRecord, ...]:
    def text(number: Decimal | None) -> str | None:
        return None if number is None else exact_text(number)

    return tuple(
        PartChangeRecord(
            part=own.part,
            first=text(own.first),
            second=text(own.second),
            rung_first=own.rung_first,
            rung_second=own.rung_second,
            unit_price_first=text(own.price_first),
            unit_price_second=text(own.price_second),
            difference=text(own.amount),
        )
        for own in comparison.parts
    )


def _makers(comparison: Comparison) -> tuple[MakerRecord, ...]:
    return tuple(
        MakerRecord(
            maker=own.maker,
            preferred=own.is_preferred,
            first=sum_of(own.first),
            second=sum_of(own.second),
            first_pieces=exact_text(own.first_pieces),
            second_pieces=exact_text(own.second_pieces),
            first_ratio=ratio_of(own.first_ratio),
            second_ratio=ratio_of(own.second_ratio),
        )
        for own in comparison.makers
    )


def comparison_bytes(comparison: Comparison, file_format: str) -> bytes:
    """Return a comparison in a file format: `json` or `md`."""
    return _WRITERS[file_format](compare_record(comparison))


def default_name(comparison: Comparison) -> str:
    """Return a file name for a comparison; one of invented data says so."""
    opened = comparison.second.computed.opened
    sides = (comparison.first.computed, comparison.second.computed)
    words = [opened.stem, sides[0].variant, sides[1].variant, "comparison"]
    if any(side.opened.snapshot.proposal.proposal.demo for side in sides):
        words.append(DEMO_MARK.replace(" ", "-"))
    return f"{'_'.join(words)}.md"


def write_comparison(comparison: Comparison, path: Path, *, overwrite: bool = True) -> None:
    """Write a comparison to a file, its format by the file name.

    Args:
        comparison: The comparison.
        path: Where to.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: The name asks for no known format, or the file cannot be written.
    """
    file_format = path.suffix.lower().removeprefix(".")
    if file_format not in _WRITERS:
        raise BomtuiError(f"{path}: expected a file name that ends in {', '.join(SUFFIXES)}")
    write_output(path, comparison_bytes(comparison, file_format), overwrite=overwrite)
