"""Placements, wire runs between zones and quantities of items from a list: a dry run, then one step, or nothing."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from msgspec import structs

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.item import SetQuantity
from bomtui.edit.edits.placement import Place, PlaceAll
from bomtui.model.base import Base
from bomtui.model.fields import field_table
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.model.variant import Amount
from bomtui.services.load_import import LoadImport
from bomtui.services.present import counted
from bomtui.services.sheets import CHANGED, SAME, Row, Sheet
from bomtui.storage.field_writing import write_cell
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import Answers, Question
from bomtui.storage.tabular.distances import read_distances
from bomtui.storage.tabular.placements import read_placements
from bomtui.storage.tabular.plain_rows import DistanceRow, PlacementRow, PlainRow, QuantityRow, read_plain_rows


@dataclass(frozen=True, slots=True)
class ListKind:
    """A kind of list.

    Attributes:
        record: What a row is.
        one: One of what it lists, in a word.
        named_by: Fields that say what a row sets.
        name: What a row sets, from its values: one thing is set once.
        edit: The edit of a row.
        former: What the variant says of the thing before, by field name; empty for nothing.
    """

    record: type[Base]
    one: str
    named_by: tuple[str, ...]
    name: Callable[[dict[str, Any]], str]
    edit: Callable[[str, dict[str, Any]], Edit]
    former: Callable[[Proposal, str, dict[str, Any]], dict[str, Any]]


def _place(variant: str, row: dict[str, Any]) -> Place:
    return Place(variant=variant, load_id=row["load"], on=row["on"], joined=row.get("joined"))


def _former_placement(proposal: Proposal, variant: str, row: dict[str, Any]) -> dict[str, Any]:
    placement = proposal.variants[variant].placements.get(row["load"])
    return {} if placement is None else {"on": placement.on, "joined": placement.joined}


def _former_distance(proposal: Proposal, _: str, row: dict[str, Any]) -> dict[str, Any]:
    """Return the run as it stands with either of the two zones."""
    one, other = row["zone"], row["to"]
    runs = [proposal.zones[one].distance_m.get(other), proposal.zones[other].distance_m.get(one)]
    return {"distance_m": next((run for run in runs if run is not None), None)}


def _former_quantity(proposal: Proposal, variant: str, row: dict[str, Any]) -> dict[str, Any]:
    return {"quantity": proposal.variants[variant].modules[row["module"]].items[row["part"]].quantity}


LIST_KINDS = {
    "placements": ListKind(
        PlacementRow,
        "placement",
        ("load",),
        lambda row: str(row["load"]),
        _place,
        _former_placement,
    ),
    "distances": ListKind(
        DistanceRow,
        "distance",
        ("zone", "to"),
        lambda row: " to ".join(sorted((row["zone"], row["to"]))),
        lambda _, row: SetField(place=f"zones.{row['zone']}.distance.{row['to']}", value=row["distance_m"]),
        _former_distance,
    ),
    "quantities": ListKind(
        QuantityRow,
        "quantity",
        ("module", "part"),
        lambda row: f"{row['module']}.{row['part']}",
        lambda variant, row: SetQuantity(
            variant=variant, module_id=row["module"], part=row["part"], quantity=row["quantity"]
        ),
        _former_quantity,
    ),
}
"""Kinds of lists by the word that names them."""


def plan_list(snapshot: Snapshot, what: str, variant: str, path: Path, answers: Answers) -> LoadImport:
    """Read a list and say what would become of every row; nothing is written.

    Args:
        snapshot: The proposal.
        what: One of `LIST_KINDS`.
        variant: Variant in which placements and quantities are set.
        path: The list.
        answers: What was said of it.
    """
    return _Plan(snapshot, LIST_KINDS[what], variant, path, answers).run(what)


class _Plan:
    """One comparison of a list with a proposal: the edits are done one after the other, to see which is refused."""

    def __init__(self, snapshot: Snapshot, kind: ListKind, variant: str, path: Path, answers: Answers) -> None:
        self._snapshot = snapshot
        self._kind = kind
        self._variant = variant
        self._path = path
        self._answers = answers
        if kind.record is DistanceRow:
            zones = {key: zone.name for key, zone in snapshot.proposal.zones.items()}
            self._result = read_distances(path, zones, answers)
        elif kind.record is PlacementRow:
            self._result = read_placements(path, answers)
        else:
            self._result = read_plain_rows(path, kind.record, answers)
        self._problems = list(self._result.problems)
        self._questions = list(self._result.questions)
        self._notices = list(self._result.notices)
        self._rows: list[Row] = []

    def run(self, what: str) -> LoadImport:
        """Compare every row of the list."""
        chosen = self._chosen()
        if self._kind.record is PlacementRow:
            edits = self._placed(chosen)
        else:
            edits = [edit for name, row in chosen.items() if (edit := self._edit(name, row)) is not None]
        sheet = Sheet(
            file=str(self._path),
            rows=tuple(self._rows),
            columns=self._result.columns,
            questions=tuple(self._questions),
            problems=in_file_order(self._problems),
            doubts=(),
            notices=tuple(self._notices),
        )
        count = sum(row.state == CHANGED for row in self._rows)
        words = f"import {counted(count, self._kind.one, what)} from {clean(self._path.name)}"
        return LoadImport(sheet, Group(edits=tuple(edits), words=words) if edits else None)

    def _placed(self, chosen: dict[str, PlainRow]) -> list[Edit]:
        """Place all loads at once, so that two of a list can swap their channels."""
        places = tuple(map(self._place, chosen.values()))
        edit = PlaceAll(variant=self._variant, places=places)
        after, refused = edit.tried(self._snapshot)
        moved: list[Place] = []
        former = self._snapshot.proposal.variants[self._variant].placements
        placements = after.proposal.variants[self._variant].placements
        for place in edit.places:
            name, row = place.load_id, chosen[place.load_id]
            if name in refused:
                self._problem(row.line, refused[name], name)
                continue
            is_same = former.get(name) == placements[name]
            self._rows.append(self._row(row, name, is_same=is_same))
            if not is_same:
                moved.append(place)
        return [PlaceAll(variant=self._variant, places=tuple(moved))] if moved else []

    def _row(self, row: PlainRow, name: str, *, is_same: bool) -> Row:
        """Return what becomes of a row, with its values and, where they change, the former ones."""
        former = self._kind.former(self._snapshot.proposal, self._variant, row.values)
        said = self._in_words(row, former)
        return Row(row.line, name, SAME if is_same else CHANGED, tuple(row.values), said)

    def _in_words(self, row: PlainRow, former: Mapping[str, Any] = MappingProxyType({})) -> str:
        """Write what a row says of the thing that it names, and what stood there before."""
        said = []
        for info in field_table(self._kind.record):
            value, before = row.values.get(info.name), former.get(info.name)
            if info.name in self._kind.named_by or value is before is None:
                continue
            now = f"{info.key} none" if value is None else f"{info.key} {write_cell(info, value)}"
            said.append(now if before is None or before == value else f"{now} (was {write_cell(info, before)})")
        return ", ".join(said)

    def _place(self, row: PlainRow) -> Place:
        """Return a load's place; its FETs stay where its channel does, as such a list does not name them."""
        place = _place(self._variant, row.values)
        former = self._snapshot.proposal.variants[self._variant].placements.get(place.load_id)
        if former is None or not former.stage:
            return place
        if former.on == place.on:
            return structs.replace(place, stage=former.stage)
        self._notices.append(f"line {row.line}: {place.load_id} leaves its FETs {', '.join(former.stage)}")
        return place

    def _edit(self, name: str, row: PlainRow) -> Edit | None:
        edit = self._kind.edit(self._variant, row.values)
        after = apply(edit, self._snapshot)
        if isinstance(after, Refusal):
            self._problem(row.line, after.sentence, name)
            return None
        is_same = after.proposal == self._snapshot.proposal
        self._rows.append(self._row(row, name, is_same=is_same))
        self._snapshot = after
        return None if is_same else edit

    def _chosen(self) -> dict[str, PlainRow]:
        """Return the row that counts for each thing that is set."""
        chosen: dict[str, PlainRow] = {}
        for row in self._result.rows:
            name = self._kind.name(row.values)
            first = chosen.setdefault(name, row)
            if first is not row and self._said(first) != self._said(row):
                chosen[name] = self._one_of(name, first, row)
        return chosen

    def _said(self, row: PlainRow) -> dict[str, Any]:
        """Return what a row says of the thing that it names: a run is the same from either zone."""
        return {name: value for name, value in row.values.items() if name not in self._kind.named_by}

    def _one_of(self, name: str, first: PlainRow, row: PlainRow) -> PlainRow:
        """Choose between two rows of one thing, or add them, as somebody said; else refuse the second."""
        answer = self._answers.duplicates
        one, two = first.values.get("quantity"), row.values.get("quantity")
        if answer == "sum" and isinstance(one, Amount) and isinstance(two, Amount) and one.unit == two.unit:
            total = Amount(quantity=one.quantity + two.quantity, unit=one.unit)
            self._notices.append(f"line {row.line}: {name} stands also in line {first.line}; both are added")
            return PlainRow(first.line, {**first.values, "quantity": total})
        if answer in {"keep", "replace"}:
            taken = first if answer == "keep" else row
            self._notices.append(
                f"line {row.line}: {name} stands also in line {first.line}; line {taken.line} is taken"
            )
            return taken
        message = clean(f"{self._in_words(row)}, but {self._in_words(first)} in line {first.line}")
        self._problem(row.line, f"{message}, and the two do not add up" if answer == "sum" else message, name)
        choices = ("keep", "replace", "sum") if isinstance(one, Amount) else ("keep", "replace")
        sentence = "some rows set the same thing twice; keep the first, replace it by the last, or add them?"
        question = Question("duplicates", sentence, choices=choices)
        if question not in self._questions:
            self._questions.append(question)
        return first

    def _problem(self, line: int, message: str, name: str) -> None:
        self._problems.append(Problem(str(self._path), message, line, field=name))
