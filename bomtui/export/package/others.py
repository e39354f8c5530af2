"""Artefacts of a package whose records stand elsewhere: parts list, failures, comparison, block diagrams."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from bomtui.export.compare_record import CompareRecord, FigureRecord
from bomtui.export.csv import Cell as CsvCell
from bomtui.export.csv import Numeral, line_cells, total_cells
from bomtui.export.diagram_record import DiagramRecord
from bomtui.export.facts import standing_text
from bomtui.export.failures_record import EffectRecord, FailuresRecord
from bomtui.export.failures_table import COLUMNS, common_text, not_known_facts, rows_of
from bomtui.export.package.artefact import Artefact
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.export.records import Heading, Record
from bomtui.export.table import Cell, FigureCell, Kind, Table, TableColumn, table_of
from bomtui.model.lists import NUMERIC_PARTS_COLUMNS, parts_list_columns
from bomtui.model.quantity import MAX_SIGNIFICANT_DIGITS

PARTS_LIST = "parts-list"


def parts_list_table(record: PartsListRecord) -> Table:
    """Return the table of a parts list."""
    columns = parts_list_columns(record.currency)
    return Table(
        name="",
        title="Parts list",
        columns=tuple(
            TableColumn(column.key, column.help, _parts_kind(column.key, column.unit, record.currency), column.unit)
            for column in columns
        ),
        rows=tuple(_plain(line_cells(line), [column.key for column in columns]) for line in record.lines),
        notes=("Prices per average vehicle, at the rung of the quantity ordered over all modules.",),
        total=_plain(total_cells(record), [column.key for column in columns]),
        keys=2,
    )


def parts_list_artefact(record: PartsListRecord) -> Artefact:
    """Return the artefact of a costed parts list."""
    return Artefact(PARTS_LIST, "Costed parts list", record, record, (parts_list_table(record),))


def failures_artefact(record: FailuresRecord) -> Artefact:
    """Return the artefact of the failure walk."""
    common = tuple(f"Shared with its stand-in: {common_text(own)}." for own in record.common_causes)
    unknown = tuple(f"Not known: {label}: {text}." for label, text in not_known_facts(record))
    by_load = Table(
        name="loads",
        title="What is lost, load by load",
        columns=tuple(TableColumn(key) for key in COLUMNS),
        rows=tuple(
            tuple(None if cell is None else str(cell) for cell in row)
            for effect in record.causes
            for row in rows_of(effect)
        ),
        is_detail=True,
    )
    by_cause = Table(
        name="",
        title="What is lost with every single thing taken out",
        columns=tuple(map(TableColumn, ("kind", "cause", "part", "lost", "may_be_lost", "stand_ins"))),
        rows=tuple(_effect_row(effect) for effect in record.causes),
        notes=(record.stand_in_caution, *common, *unknown),
        keys=2,
    )
    return Artefact("failures", "Failure walk", record, record, (by_cause, by_load))


def _effect_row(effect: EffectRecord) -> tuple[Cell, ...]:
    stand_ins = "; ".join(f"{own.primary} {own.primary_state}, {own.stand_in} {own.state}" for own in effect.stand_ins)
    return (
        effect.kind,
        effect.id,
        effect.part,
        _by_level(effect.lost_by_level),
        _by_level(effect.possible_by_level),
        stand_ins,
    )


def _by_level(loads: Mapping[str, Sequence[str]]) -> str:
    return "; ".join(f"{level}: {' '.join(own)}" for level, own in loads.items())


def comparison_artefact(record: CompareRecord, heading: Heading) -> Artefact:
    """Return the artefact of a comparison.

    Args:
        record: The comparison.
        heading: Heading of the first side; what the second side has of its own is noted.
    """
    names = [side.variant for side in (record.first, record.second)]
    if names[0] == names[1]:
        names = [f"{name} ({number})" for name, number in zip(names, ("first", "second"), strict=True)]
    measures = Table(
        name="",
        title="Measures side by side",
        columns=(
            TableColumn("measure"),
            TableColumn("unit"),
            TableColumn(names[0], kind="value"),
            TableColumn(names[1], kind="value"),
            TableColumn("difference", "second less first", "number"),
            TableColumn("better"),
            TableColumn("note"),
        ),
        rows=tuple(
            (
                own.name,
                own.unit,
                _figure(own.first),
                _figure(own.second),
                None if own.difference is None else Numeral(own.difference),
                {"first": names[0], "second": names[1]}.get(own.better, own.better),
                own.note,
            )
            for own in record.measures
        ),
        notes=(f"{record.verdict}.", *_scope_notes(record), *_side_notes(record)),
    )
    causes = Table(
        name="causes",
        title="Why the cost differs",
        columns=(TableColumn("cause"), TableColumn("amount", "second less first", "amount", record.currency)),
        rows=()
        if record.difference is None
        else tuple((cause.replace("_", " "), Numeral(amount)) for cause, amount in record.difference.by_cause.items()),
        total=None if record.difference is None else ("total", Numeral(record.difference.total)),
    )
    return Artefact("comparison", "Comparison", heading, record, (measures, causes))


class DiagramSet(Heading, frozen=True, kw_only=True):
    """Block diagrams of the vehicle and of every module."""

    diagrams: tuple[DiagramRecord, ...]


class JoinRow(Record, frozen=True, kw_only=True):
    """What joins two blocks of a diagram."""

    diagram: str
    source: str
    source_title: str
    kind: str
    target: str
    target_title: str


def diagrams_artefact(record: DiagramSet) -> Artefact:
    """Return the artefact of the block diagrams."""
    rows = []
    for drawn in record.diagrams:
        blocks = {block.id: block for block in drawn.blocks}
        rows += [
            JoinRow(
                diagram=drawn.module or "vehicle",
                source=blocks[link.source].name or blocks[link.source].kind,
                source_title=blocks[link.source].title,
                kind=link.kind,
                target=blocks[link.target].name or blocks[link.target].kind,
                target_title=blocks[link.target].title,
            )
            for link in drawn.links
        ]
    notes = tuple(dict.fromkeys(f"Not drawn: {text}." for drawn in record.diagrams for text in drawn.not_known))
    return Artefact(
        "diagrams",
        "Block diagrams",
        record,
        record,
        (table_of("", "Joins", JoinRow, rows, notes=notes, is_detail=True),),
    )


def _parts_kind(key: str, unit: str, currency: str) -> Kind:
    if unit == currency:
        return "amount"
    return "number" if key in NUMERIC_PARTS_COLUMNS else "text"


def _plain(cells: Mapping[str, CsvCell], keys: Iterable[str]) -> tuple[Cell, ...]:
    found = (cells.get(key) for key in keys)
    return tuple(Numeral(cell) if isinstance(cell, int | float) else cell for cell in found)


def _figure(figure: FigureRecord) -> FigureCell:
    value = figure.value
    if isinstance(value, float):
        value = format(Decimal(f"{value:.{MAX_SIGNIFICANT_DIGITS}g}"), "f")
    numeral = None if value is None else Numeral(value)
    return FigureCell(numeral, numeral, figure.bound, figure.unknown)


def _scope_notes(record: CompareRecord) -> Iterator[str]:
    scope = record.scope
    yield f"Both serve {scope.both} loads."
    for word, loads in (("first", scope.only_first), ("second", scope.only_second)):
        if loads:
            yield f"Only the {word} serves {', '.join(loads)}."
    if scope.changed:
        yield f"Not the same on both: {', '.join(scope.changed)}."


def _side_notes(record: CompareRecord) -> Iterator[str]:
    for word, side in (("First", record.first), ("Second", record.second)):
        yield (
            f"{word}: variant {side.variant}, revision {side.revision or 'none given'}, content hash"
            f" {side.content_hash}, {standing_text(side)}."
        )
