"""The comparison of two variants as a Markdown page that can be read as it stands."""

from collections.abc import Iterable, Sequence
from decimal import Decimal

from bomtui.export.compare_record import CompareRecord, FigureRecord, MeasureRecord
from bomtui.export.facts import assumption_text
from bomtui.export.markdown import escaped, table_row
from bomtui.export.rollup_record import Sum
from bomtui.model.money import LINE_DIGITS, rounded_to_add

Table = tuple[Sequence[str], Sequence[str], Iterable[Sequence[str]]]
LEFT, RIGHT = "---", "---:"


def compare_markdown(record: CompareRecord) -> bytes:
    """Write a comparison as a Markdown page in UTF-8."""
    names = (record.first.variant, record.second.variant)
    lines = [f"# {escaped(record.title)}", ""]
    lines += [escaped(record.notice), ""] if record.notice else []
    lines += [f"**{escaped(record.verdict)}**", "", *_sides(record), "", *_scope(record)]
    lines += _section("Measures", _measures(record, names))
    notes = [f"- {escaped(own.name)}: {escaped(own.note)}" for own in record.measures if own.note]
    lines += ["", *notes] if notes else []
    if record.difference is not None:
        lines += ["", f"All amounts in {record.currency} per vehicle, second less first.", ""]
        lines += _section("Difference by cause", _steps("cause", record.difference.by_cause, record.difference.total))
        elements = _steps("cost element", record.difference.by_element, record.difference.total)
        lines += _section("Difference by cost element", elements)
        owners = {own.id: own.difference for own in record.difference.by_subsystem}
        lines += _section("Difference by subsystem", _steps("subsystem", owners, record.difference.total))
    lines += _section("Parts that differ", _parts(record))
    lines += _section("Makers", _makers(record))
    lines += _section("What moves the difference most", _inputs(record))
    lines += _section("Wires that would make up for it", _wires(record))
    lines += ["", "## Assumptions and open points", ""]
    lines += [f"- {escaped(own.id)}: {escaped(assumption_text(own))}" for own in record.assumptions] or ["none"]
    lines += [f"- {escaped(own.id)} (first side): {escaped(assumption_text(own))}" for own in record.first_assumptions]
    lines += ["", *(f"> {escaped(caution)}\n>" for caution in record.cautions[:-1])]
    lines += [f"> {escaped(caution)}" for caution in record.cautions[-1:]]
    return ("\n".join(lines) + "\n").encode()


def _section(title: str, table: Table) -> list[str]:
    header, rule, rows = table
    cells = [table_row([escaped(cell) for cell in row]) for row in rows]
    if not cells:
        return []
    return ["", f"## {title}", "", table_row([escaped(cell) for cell in header]), table_row(rule), *cells]


def _sides(record: CompareRecord) -> list[str]:
    return [
        f"- {word}: variant {escaped(side.variant)}, revision {escaped(side.revision) or 'none given'}, "
        f"content hash {side.content_hash}, open errors {side.open_errors}, checks not decided {side.undecided}, "
        f"prices of {side.price_date.oldest or 'unknown'} to {side.price_date.newest or 'unknown'}, "
        f"{side.program} {escaped(side.program_version)}"
        for word, side in (("first", record.first), ("second", record.second))
    ]


def _scope(record: CompareRecord) -> list[str]:
    scope = record.scope
    lines = [f"Both serve {scope.both} loads."]
    for word, loads in (("first", scope.only_first), ("second", scope.only_second)):
        if loads:
            lines.append(f"Only the {word} serves {escaped(', '.join(loads))}.")
    if scope.changed:
        lines.append(f"Not the same on both: {escaped(', '.join(scope.changed))}.")
    return lines


def _measures(record: CompareRecord, names: tuple[str, str]) -> Table:
    header = ("measure", "unit", *names, "difference", "per cent", "better")
    return header, (LEFT, LEFT, RIGHT, RIGHT, RIGHT, RIGHT, LEFT), [_measure(own, names) for own in record.measures]


def _measure(own: MeasureRecord, names: tuple[str, str]) -> tuple[str, ...]:
    better = {"first": names[0], "second": names[1]}
    per_cent = "" if own.change_ratio is None else f"{Decimal(repr(own.change_ratio)).scaleb(2):+.1f}"
    step = "" if own.difference is None else _signed(own.difference)
    word = better.get(own.better, own.better)
    return (own.name, own.unit, _shown(own.first), _shown(own.second), step, per_cent, word)


def _shown(figure: FigureRecord) -> str:
    if figure.value is None:
        return "unknown"
    text = figure.value if isinstance(figure.value, str) else _number(figure.value)
    sign = {"exact": "", "at_least": ">= ", "at_most": "<= "}[figure.bound]
    return f"{sign}{text} ({figure.unknown} unknown)" if figure.unknown else text


def _number(number: float) -> str:
    return format(Decimal(repr(number)), "f").removesuffix(".0")


def _amount(total: Sum) -> str:
    return f">= {total.amount} ({total.unknown} unknown)" if total.unknown else total.amount


def _signed(text: str) -> str:
    return f"+{text}" if Decimal(text) > 0 else text


def _steps(what: str, amounts: dict[str, str], total: str) -> Table:
    rounded = rounded_to_add({key: Decimal(text) for key, text in amounts.items()}, LINE_DIGITS)
    rows = [(key.replace("_", " "), _signed(f"{amount:f}")) for key, amount in rounded.items() if amount]
    whole = rounded_to_add({"total": Decimal(total)}, LINE_DIGITS)["total"]
    return (what, "amount"), (LEFT, RIGHT), [*rows, ("total", _signed(f"{whole:f}"))]


def _parts(record: CompareRecord) -> Table:
    header = ("part", "first", "second", "rung first", "rung second", "price first", "price second", "difference")
    rows = [
        (
            own.part,
            *(
                "-" if cell is None else str(cell)
                for cell in (
                    own.first,
                    own.second,
                    own.rung_first,
                    own.rung_second,
                    own.unit_price_first,
                    own.unit_price_second,
                )
            ),
            "unknown" if own.difference is None else _signed(own.difference),
        )
        for own in record.parts
    ]
    return header, (LEFT, *(RIGHT,) * 7), rows


def _makers(record: CompareRecord) -> Table:
    header = ("maker", "first", "second", "share first", "share second", "pieces first", "pieces second")
    rows = [
        (
            f"{own.maker} (preferred)" if own.preferred else own.maker,
            _amount(own.first),
            _amount(own.second),
            _per_cent(own.first_ratio),
            _per_cent(own.second_ratio),
            own.first_pieces,
            own.second_pieces,
        )
        for own in record.makers
    ]
    return header, (LEFT, *(RIGHT,) * 6), rows


def _per_cent(ratio: float | None) -> str:
    return "unknown" if ratio is None else f"{Decimal(repr(ratio)).scaleb(2):.1f} %"


def _inputs(record: CompareRecord) -> Table:
    by = f"{Decimal(repr(record.swing_ratio)).scaleb(2).normalize():f} %"
    header = ("input", f"{by} lower", f"{by} higher", "swing", "turns the verdict")
    rows = [
        (own.place, _signed(own.down), _signed(own.up), own.swing, "yes" if own.turns else "") for own in record.inputs
    ]
    return header, (LEFT, RIGHT, RIGHT, RIGHT, LEFT), rows


def _wires(record: CompareRecord) -> Table:
    rows = [(own.zone, str(own.wires), own.saving, own.earned) for own in record.break_even_wires]
    return ("zone", "wires", "saving of each", "saving of all"), (LEFT, RIGHT, RIGHT, RIGHT), rows
