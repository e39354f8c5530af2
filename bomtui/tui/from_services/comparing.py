"""A comparison as the screens show it: why the cost differs, every measure, the parts and who makes them."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

from bomtui.model.comparison import PartChange
from bomtui.model.ids import natural_key
from bomtui.model.money import LINE_DIGITS, rounded_to_add
from bomtui.services.bars import step_bars, waterfall
from bomtui.services.compare import Comparison, names_of
from bomtui.services.compare_artefact import SUFFIXES, default_name, write_comparison
from bomtui.services.compare_words import (
    CAUSE_NAMES,
    CAUSE_WORDS,
    MEASURE_WORDS,
    better_text,
    causes_that_count,
    difference_text,
    elements_that_count,
    figure_text,
    per_cent_text,
    unit_of,
)
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.measures import ELEMENT_NAMES, Measure
from bomtui.services.present import (
    amount_column_text,
    amount_text,
    counted,
    decimal_text,
    signed_amount_text,
)
from bomtui.tui.from_services.assuming import assumption_lines
from bomtui.tui.marks import Mark
from bomtui.tui.report import Report, ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome

BAR = 30
"""Cells of a bar."""
BETTER_MARKS: dict[str, Mark] = {"second": "ok", "first": "check", "same": "note", "undecided": "unknown"}
"""State of a measure as the second side sees it."""


def comparison_report(comparison: Comparison) -> Report:
    """Return a comparison as pages."""
    names = names_of(comparison.first.computed, comparison.second.computed)
    return Report(
        snapshot_number=comparison.second.computed.opened.snapshot.number,
        title=f"{names[0]} (first) and {names[1]} (second)",
        sentences=tuple(_sentences(comparison)),
        pages=(_why(comparison), _measures(comparison, names), _parts(comparison), _open_points(comparison)),
        path=default_name(comparison),
        suffixes=SUFFIXES,
        write=lambda path, overwrite: _write(comparison, path, overwrite=overwrite),
    )


def _sentences(comparison: Comparison) -> Iterator[tuple[Mark, str]]:
    scope = comparison.scope
    is_same = scope.is_same and not scope.changed
    words = "and only these" if is_same else "but not the same ones"
    both = counted(scope.both, "load", "loads")
    yield ("ok" if is_same else "over"), f"Scope: both serve {both}, {words}. Differences are second less first."
    is_decided = comparison.difference is not None and comparison.difference.is_known and scope.is_same
    yield ("note" if is_decided else "over"), f"{comparison.verdict}."


def _why(comparison: Comparison) -> ReportPage:
    columns = (
        ReportColumn("Why", max_width=44),
        ReportColumn("Difference", comparison.currency, "right"),
        ReportColumn("Waterfall"),
    )
    return ReportPage("why", columns, tuple(_why_lines(comparison)), empty=f"{comparison.verdict}.")


def _why_lines(comparison: Comparison) -> Iterator[ReportLine]:
    yield from _scope_lines(comparison)
    difference = comparison.difference
    if difference is None:
        return
    start = comparison.first.computed.rollup.cost.total
    end = comparison.second.computed.rollup.cost.total
    causes = causes_that_count(difference)
    first, bars, last = waterfall(list(causes.values()), start.amount, BAR)
    yield ReportLine("by cause", 0, ("by cause", signed_amount_text(difference.total)), has_children=True)
    yield ReportLine("first", 1, ("cost of the first", amount_column_text(start), first))
    for (cause, amount), bar in zip(causes.items(), bars, strict=True):
        inside = tuple(_cause_lines(comparison, cause, amount))
        yield ReportLine(
            f"cause {cause}",
            1,
            (CAUSE_NAMES[cause], signed_amount_text(amount), bar),
            has_children=bool(inside),
            sentence="; ".join(
                filter(
                    None,
                    (
                        f"{CAUSE_NAMES[cause]}: {signed_amount_text(amount)} {comparison.currency} per vehicle",
                        CAUSE_WORDS.get(cause, ""),
                    ),
                )
            ),
        )
        yield from inside
    yield ReportLine("second", 1, ("cost of the second", amount_column_text(end), last))
    elements = elements_that_count(difference)
    bars_of = step_bars(elements, BAR)
    yield ReportLine("by element", 0, ("by cost element", signed_amount_text(difference.total)), has_children=True)
    for element, amount in elements.items():
        cells = (ELEMENT_NAMES[element], signed_amount_text(amount), bars_of[element])
        yield ReportLine(f"element {element}", 1, cells)
    yield from _owner_lines(comparison, start.amount)


def _scope_lines(comparison: Comparison) -> Iterator[ReportLine]:
    scope = comparison.scope
    sides = (comparison.first.computed, comparison.second.computed)
    rows = (
        ("only the first serves", scope.only_first, sides[0].variant),
        ("only the second serves", scope.only_second, sides[1].variant),
        ("not the same on both", scope.changed, sides[1].variant),
    )
    if not any(loads for _, loads, _ in rows):
        return
    yield ReportLine("scope", 0, ("scope",), has_children=True)
    for words, loads, variant in rows:
        for load in loads:
            yield ReportLine(f"scope {words} {load}", 1, (f"{words} {load}",), variant=variant, address=load)


def _cause_lines(comparison: Comparison, cause: str, printed: Decimal) -> Iterator[ReportLine]:
    """Return what a cause is made of: cost elements, and each part; the lines add to what is printed of it."""
    difference = comparison.difference
    shares = [] if difference is None else [share for share in difference.shares if share.cause == cause]
    names = {f"{share.element} {share.what}": share for share in shares}
    rounded = rounded_to_add({key: share.amount for key, share in names.items()}, LINE_DIGITS, printed)
    for key, share in sorted(names.items(), key=lambda own: (-abs(own[1].amount), own[0])):
        variant, address = _place_of(comparison, share.what)
        name = share.what or ELEMENT_NAMES[share.element]
        yield ReportLine(
            f"cause {cause} {key}",
            2,
            (name, signed_amount_text(rounded[key])),
            variant=variant,
            address=address,
            sentence=f"{name}: {signed_amount_text(share.amount)} {comparison.currency}"
            + (f"; g goes to {address} in {variant}" if address else ""),
        )


def _place_of(comparison: Comparison, part: str) -> tuple[str, str]:
    """Return the first place where a part is used, on the second side before the first."""
    if not part:
        return "", ""
    for side in (comparison.second.computed, comparison.first.computed):
        modules = side.opened.snapshot.proposal.variants[side.variant].modules
        for module_id in sorted(modules, key=natural_key):
            module = modules[module_id]
            for ref in sorted(module.devices, key=natural_key):
                if module.devices[ref].part == part:
                    return side.variant, f"{module_id}.{ref}"
            if part in module.items:
                return side.variant, f"{module_id}.item {part}"
    return "", ""


def _owner_lines(comparison: Comparison, start: Decimal) -> Iterator[ReportLine]:
    owners = {own.id: own for own in comparison.owners}
    steps = rounded_to_add({key: own.difference for key, own in owners.items()}, LINE_DIGITS)
    shown = {key: step for key, step in steps.items() if step}
    _, bars, _ = waterfall(list(shown.values()), start, BAR)
    total = sum(steps.values(), Decimal(0))
    yield ReportLine("by subsystem", 0, ("by subsystem", signed_amount_text(total)), has_children=True)
    for (key, step), bar in zip(shown.items(), bars, strict=True):
        known = comparison.second.computed.opened.snapshot.proposal.subsystems.get(key)
        name = key if known is None else f"{key} {known.name}".rstrip()
        yield ReportLine(
            f"owner {key}",
            1,
            (name, signed_amount_text(step), bar),
            variant="" if known is None else comparison.second.computed.variant,
            address="" if known is None else key,
            sentence=f"{name}: {amount_column_text(owners[key].first)} and {amount_column_text(owners[key].second)} "
            f"{comparison.currency}",
        )


def _measures(comparison: Comparison, names: tuple[str, str]) -> ReportPage:
    columns = (
        ReportColumn("Measure", max_width=32),
        ReportColumn("First", align="right"),
        ReportColumn("Second", align="right"),
        ReportColumn("Difference", align="right"),
        ReportColumn("%", align="right"),
    )
    lines = tuple(_measure(own, comparison.currency, names) for own in comparison.measures)
    return ReportPage("measures", columns, lines, state_title="Better")


def _measure(own: Measure, currency: str, names: tuple[str, str]) -> ReportLine:
    unit = unit_of(own, currency)
    name = f"{own.name} {unit}".rstrip()
    figures = (figure_text(own, own.first), figure_text(own, own.second), difference_text(own))
    better = better_text(own, names)
    return ReportLine(
        own.id,
        0,
        (name, *figures, per_cent_text(own).removesuffix(" %")),
        mark=BETTER_MARKS[own.better] if own.better else "",
        word=better,
        sentence=f"{own.name.strip()}: {figures[0]} and {figures[1]} {unit}".rstrip()
        + (f"; better: {better}" if better else "")
        + (f"; {MEASURE_WORDS[own.id]}" if own.id in MEASURE_WORDS else ""),
    )


def _parts(comparison: Comparison) -> ReportPage:
    columns = (
        ReportColumn("Part or maker", max_width=32),
        ReportColumn("First", align="right"),
        ReportColumn("Second", align="right"),
        ReportColumn("Rung", align="right"),
        ReportColumn("Difference", comparison.currency, "right"),
    )
    return ReportPage("parts", columns, tuple(_part_lines(comparison)), empty="No part differs.")


def _part_lines(comparison: Comparison) -> Iterator[ReportLine]:
    def text(number: Decimal | int | None) -> str:
        return "-" if number is None else decimal_text(Decimal(number))

    yield ReportLine("parts", 0, (f"parts that differ: {len(comparison.parts)}",), has_children=True)
    for own in sorted(comparison.parts, key=_size):
        variant, address = _place_of(comparison, own.part)
        rung = (
            text(own.rung_second)
            if own.rung_first == own.rung_second
            else f"{text(own.rung_first)} > {text(own.rung_second)}"
        )
        amount = "?" if own.amount is None else signed_amount_text(own.amount)
        yield ReportLine(
            f"part {own.part}",
            1,
            (own.part, text(own.first), text(own.second), rung, amount),
            variant=variant,
            address=address,
            sentence=f"{own.part}: unit price {text(own.price_first)} and {text(own.price_second)} "
            f"{comparison.currency}",
        )
    yield ReportLine("makers", 0, (f"cost of parts by maker: {len(comparison.makers)}",), has_children=True)
    for maker in comparison.makers:
        amount = signed_amount_text(maker.second.amount - maker.first.amount)
        shares = " and ".join(
            "?" if ratio is None else f"{ratio.scaleb(2):.1f} %" for ratio in (maker.first_ratio, maker.second_ratio)
        )
        preferred = "preferred; " if maker.is_preferred else ""
        yield ReportLine(
            f"maker {maker.maker}",
            1,
            (
                f"* {maker.maker}" if maker.is_preferred else maker.maker,
                amount_column_text(maker.first),
                amount_column_text(maker.second),
                "",
                amount if not maker.first.unknown and not maker.second.unknown else f"{amount} known",
            ),
            sentence=f"{maker.maker}: {preferred}{shares} of the cost of parts; {decimal_text(maker.first_pieces)} and "
            f"{decimal_text(maker.second_pieces)} pieces",
        )


def _size(own: PartChange) -> tuple[bool, Decimal, str]:
    """Return what parts are ranked by: unknown steps first, then large before small."""
    if own.amount is None:
        return (False, Decimal(0), own.part)
    return (True, -abs(own.amount), own.part)


def _open_points(comparison: Comparison) -> ReportPage:
    columns = (
        ReportColumn("What moves it, and what it rests on", max_width=48),
        ReportColumn("Lower", comparison.currency, "right"),
        ReportColumn("Higher", comparison.currency, "right"),
        ReportColumn("Swing", comparison.currency, "right"),
    )
    return ReportPage("what moves it", columns, tuple(_input_lines(comparison)))


def _input_lines(comparison: Comparison) -> Iterator[ReportLine]:
    proposal = comparison.second.computed.opened.snapshot.proposal
    by = decimal_text(Decimal(repr(proposal.programme.swing_ratio)).scaleb(2))
    yield ReportLine("inputs", 0, (f"inputs {by} % lower and higher, one by one",), has_children=True)
    for own in comparison.inputs:
        turns = "; the cheaper side changes" if own.turns else ""
        yield ReportLine(
            f"input {own.place}",
            1,
            (own.place, signed_amount_text(own.down), signed_amount_text(own.up), amount_text(own.swing)),
            mark="check" if own.turns else "",
            word="turns it" if own.turns else "",
            sentence=f"{own.place}: the difference goes from {signed_amount_text(own.down)} to "
            f"{signed_amount_text(own.up)} {comparison.currency}{turns}",
        )
    if comparison.wires:
        yield ReportLine("wires", 0, ("break-even by wires",), has_children=True)
    for wire in comparison.wires:
        wires = counted(wire.wires, "more load wire", "more load wires")
        yield ReportLine(
            f"wires {wire.zone}",
            1,
            (f"{wires} in zone {wire.zone}", "", "", amount_text(wire.earned)),
            sentence=f"{wires} in zone {wire.zone}, each {amount_text(wire.saving)} {comparison.currency} cheaper to "
            "the nearest module, make up for the difference",
        )
    yield from assumption_lines(proposal, comparison.first.computed.opened.snapshot.proposal)


def _write(comparison: Comparison, path_text: str, *, overwrite: bool) -> WriteOutcome:
    path = Path(path_text).expanduser()
    try:
        write_comparison(comparison, path, overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    first, second = names_of(comparison.first.computed, comparison.second.computed)
    return WriteOutcome("written", f"Wrote the comparison of {first} and {second} to {path.absolute()}.")
