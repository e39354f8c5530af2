"""A comparison as text: scope and verdict first, then measures, causes, parts, makers, what moves it most."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import Column, padded, table, wrapped
from bomtui.model.comparison import Difference, PartChange
from bomtui.model.money import LINE_DIGITS, rounded_to_add
from bomtui.services.bars import step_bars
from bomtui.services.compare import Comparison, names_of
from bomtui.services.compare_words import (
    CAUSE_NAMES,
    CAUSE_WORDS,
    better_text,
    causes_that_count,
    difference_text,
    elements_that_count,
    figure_text,
    measure_notes,
    per_cent_text,
    unit_of,
)
from bomtui.services.measures import ELEMENT_NAMES, Measure
from bomtui.services.present import (
    amount_column_text,
    amount_text,
    counted,
    decimal_text,
    signed_amount_text,
)

LISTED = 12
"""Lines of a list that can be long; the JSON has all."""
SUPPLY = "supply."
"""How ids of supply currents begin."""
BAR = 24
"""Columns of a bar."""


def compare_text(comparison: Comparison) -> str:
    """Write a comparison for a terminal of 80 columns."""
    names = names_of(comparison.first.computed, comparison.second.computed)
    return page(
        heading_lines(comparison.first, f"First side {names[0]}"),
        heading_lines(comparison.second, f"Second side {names[1]}"),
        _scope(comparison, names),
        ["Measures", *_measures(comparison)],
        _currents(comparison),
        _causes(comparison),
        _elements(comparison),
        _owners(comparison),
        _parts(comparison),
        _makers(comparison),
        _inputs(comparison),
        _wires(comparison),
        assumption_lines(comparison.first, comparison.second),
        caution_lines(),
    )


def _scope(comparison: Comparison, names: tuple[str, str]) -> Iterator[str]:
    scope = comparison.scope
    yield f"Scope: both serve {counted(scope.both, 'load', 'loads')}"
    for name, loads in zip(names, (scope.only_first, scope.only_second), strict=True):
        if loads:
            yield from wrapped(f"only {name}: {', '.join(loads)}", 2, 4)
    if scope.changed:
        yield from wrapped(f"not the same on both: {', '.join(scope.changed)}", 2, 4)
    yield from wrapped(comparison.verdict, 0, 2)


def _measures(comparison: Comparison) -> list[str]:
    columns = (
        Column("measure"),
        Column("unit", whole=True),
        Column("first", numeric=True),
        Column("second", numeric=True),
        Column("difference", numeric=True),
        Column("%", numeric=True),
        Column("better", whole=True),
    )
    rows = [
        (own.name, unit_of(own, comparison.currency), *_cells(own))
        for own in comparison.measures
        if not own.id.startswith(SUPPLY)
    ]
    lines = table(columns, rows)
    for names, words in measure_notes(comparison.measures).items():
        lines += wrapped(f"{names}: {words}", 2, 4)
    return lines


def _cells(own: Measure) -> tuple[str, ...]:
    return (
        figure_text(own, own.first),
        figure_text(own, own.second),
        difference_text(own),
        per_cent_text(own).removesuffix(" %"),
        better_text(own, ("first", "second")),
    )


def _currents(comparison: Comparison) -> Iterator[str]:
    columns = (
        Column("mode"),
        Column("corner", whole=True),
        Column("unit", whole=True),
        Column("first", numeric=True),
        Column("second", numeric=True),
        Column("difference", numeric=True),
        Column("%", numeric=True),
        Column("better", whole=True),
    )
    rows = []
    for own in comparison.measures:
        if own.id.startswith(SUPPLY):
            mode, _, corner = own.id.removeprefix(SUPPLY).rpartition(".")
            rows.append((mode, "worst" if corner == "max" else corner, unit_of(own, comparison.currency), *_cells(own)))
    if rows:
        yield "Supply current"
        yield from table(columns, rows)


def _causes(comparison: Comparison) -> Iterator[str]:
    if comparison.difference is not None:
        amounts = causes_that_count(comparison.difference)
        yield f"Difference by cause, {comparison.currency} per vehicle, second less first"
        yield from _steps({CAUSE_NAMES[cause]: amount for cause, amount in amounts.items()}, comparison.difference)
        for cause in amounts:
            if cause in CAUSE_WORDS:
                yield from wrapped(f"{CAUSE_NAMES[cause]}: {CAUSE_WORDS[cause]}", 2, 4)


def _elements(comparison: Comparison) -> Iterator[str]:
    if comparison.difference is not None:
        amounts = elements_that_count(comparison.difference)
        yield "Difference by cost element"
        yield from _steps(
            {ELEMENT_NAMES[element]: amount for element, amount in amounts.items()}, comparison.difference
        )


def _owners(comparison: Comparison) -> Iterator[str]:
    if comparison.difference is not None:
        amounts = rounded_to_add({own.id: own.difference for own in comparison.owners}, LINE_DIGITS)
        yield "Difference by subsystem"
        yield from _steps(amounts, comparison.difference)


def _steps(amounts: dict[str, Decimal], difference: Difference) -> Iterator[str]:
    """Write steps with a bar each; they add to the total below them."""
    unknown = "" if difference.is_known else "  of what is known"
    cells = {name: signed_amount_text(amount) for name, amount in amounts.items()}
    width = max(len(name) for name in (*cells, "total"))
    bars = step_bars(amounts, BAR)
    for name, text in cells.items():
        yield f"  {padded(name, width)}  {padded(text, 12, numeric=True)}  {bars[name]}".rstrip()
    yield f"  {padded('total', width)}  {padded(signed_amount_text(difference.total), 12, numeric=True)}{unknown}"


def _listed(title: str, columns: Iterable[Column], rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    if rows:
        yield title
        yield from table(tuple(columns), rows[:LISTED])
        if len(rows) > LISTED:
            yield f"  and {len(rows) - LISTED} more; JSON has all"


def _parts(comparison: Comparison) -> Iterator[str]:
    def cell(number: Decimal | int | None) -> str:
        return "-" if number is None else decimal_text(Decimal(number))

    columns = (
        Column("part"),
        *(Column(title, numeric=True) for title in ("qty 1st", "2nd", "rung 1st", "2nd", "price 1st", "2nd", "step")),
    )
    ranked = sorted(comparison.parts, key=_size)
    rows = [
        (
            own.part,
            cell(own.first),
            cell(own.second),
            cell(own.rung_first),
            cell(own.rung_second),
            cell(own.price_first),
            cell(own.price_second),
            "?" if own.amount is None else signed_amount_text(own.amount),
        )
        for own in ranked
    ]
    yield from _listed("Parts that differ, those of the largest step first", columns, rows)


def _size(own: PartChange) -> tuple[bool, Decimal, str]:
    """Return what parts are ranked by: unknown steps first, then large before small."""
    if own.amount is None:
        return (False, Decimal(0), own.part)
    return (True, -abs(own.amount), own.part)


def _makers(comparison: Comparison) -> Iterator[str]:
    def share(ratio: Decimal | None) -> str:
        return "?" if ratio is None else f"{ratio.scaleb(2):.1f}"

    columns = (
        Column("maker"),
        *(
            Column(title, numeric=True)
            for title in ("cost 1st", "cost 2nd", "% 1st", "% 2nd", "pieces 1st", "pieces 2nd")
        ),
    )
    rows = [
        (
            f"* {own.maker}" if own.is_preferred else own.maker,
            amount_column_text(own.first),
            amount_column_text(own.second),
            share(own.first_ratio),
            share(own.second_ratio),
            decimal_text(own.first_pieces),
            decimal_text(own.second_pieces),
        )
        for own in comparison.makers
    ]
    marked = "; * preferred" if any(own.is_preferred for own in comparison.makers) else ""
    yield from _listed(f"Parts by maker, {comparison.currency} per vehicle{marked}", columns, rows)


def _inputs(comparison: Comparison) -> Iterator[str]:
    ratio = comparison.second.computed.opened.snapshot.proposal.programme.swing_ratio
    by = f"{decimal_text(Decimal(repr(ratio)).scaleb(2))} %"
    columns = (
        Column("input"),
        *(Column(title, numeric=True) for title in (f"{by} lower", f"{by} higher", "swing")),
        Column("turns it", whole=True),
    )
    rows = [
        (
            own.place,
            signed_amount_text(own.down),
            signed_amount_text(own.up),
            amount_text(own.swing),
            "yes" if own.turns else "",
        )
        for own in comparison.inputs
    ]
    yield from _listed("What moves the difference most, each input by itself", columns, rows)


def _wires(comparison: Comparison) -> Iterator[str]:
    for own in comparison.wires:
        yield from wrapped(
            f"Break-even: {counted(own.wires, 'more load wire', 'more load wires')} in zone {own.zone} would make up "
            f"for it ({amount_text(own.saving)} {comparison.currency} each, run to the nearest module)",
            0,
            2,
        )
