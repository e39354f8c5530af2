"""A customer's load list into a proposal: a dry run first, then all of it as one step, or nothing."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import msgspec

from bomtui.edit.edit import Edit
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.load import AddLoad
from bomtui.edit.edits.vehicle import AddMode, AddSubsystem, AddZone
from bomtui.model.fields import field_table
from bomtui.model.load import Load
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.services.one_step import session_of, write_step
from bomtui.services.present import counted
from bomtui.services.sheets import CHANGED, KEPT, NEW, SAME, Row, Sheet
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import EMPTY, Answers, Question
from bomtui.storage.tabular.loads import LoadsResult, read_loads

_FIELDS = {info.name: info for info in field_table(Load)}
_REFERENCES = (("subsystems", "subsystem"), ("zones", "zone"))


@dataclass(frozen=True, slots=True)
class LoadImport:
    """The dry run of an import of loads.

    Attributes:
        sheet: What becomes of the list.
        edit: The one step that does it; None where there is nothing to do.
    """

    sheet: Sheet
    edit: Edit | None


def plan_loads(proposal: Proposal, path: Path, answers: Answers = EMPTY) -> LoadImport:
    """Read a load list and say what would become of every row; nothing is written.

    Args:
        proposal: The proposal that the loads are for.
        path: The list.
        answers: What was said of it.
    """
    result = read_loads(path, answers, taken=proposal.loads)
    return _Plan(proposal, result, path, answers).run()


def import_loads(
    target: Path,
    path: Path,
    answers: Answers = EMPTY,
    *,
    plan_of: Callable[[Snapshot], LoadImport] | None = None,
    dry_run: bool = False,
    without_refused: bool = False,
    losing: bool = False,
    folder: Path | None = None,
) -> LoadImport:
    """Import a load list into a proposal file, all of it or nothing.

    Args:
        target: The proposal.
        path: The list.
        answers: What was said of it.
        plan_of: Plans another kind of list for the proposal; None for a list of loads.
        dry_run: Whether only to say what would become of it.
        without_refused: Whether to import the rows that were understood although others were refused.
        losing: Whether to save although comments of the proposal file would be lost.
        folder: Folder of the journals; None for the person's own.

    Returns:
        What became of every row. Where `Sheet.obstacle` says something, nothing was written.

    Raises:
        BomtuiError: The proposal cannot be read or written, or holds steps that somebody has not saved.
    """
    with session_of(target, folder) as session:
        plan = plan_of(session.snapshot) if plan_of else plan_loads(session.snapshot.proposal, path, answers)
        if not dry_run and plan.edit is not None and not plan.sheet.obstacle(without_refused=without_refused):
            write_step(session, plan.edit, "nothing was imported", losing=losing)
    return plan


class _Plan:
    """One comparison of a list with a proposal."""

    def __init__(self, proposal: Proposal, result: LoadsResult, path: Path, answers: Answers) -> None:
        self._proposal = proposal
        self._result = result
        self._path = path
        self._answers = answers
        self._problems = list(result.problems)
        self._notices = list(result.notices)
        self._questions = list(result.questions)
        self._edits: list[Edit] = []
        self._rows: list[Row] = []
        self._spelling: dict[str, dict[str, str]] = {
            table: {key.casefold(): key for key in getattr(proposal, table)}
            for table in ("loads", "zones", "modes", "subsystems")
        }

    def run(self) -> LoadImport:
        """Compare every load of the list."""
        loads = [edit for load_id, load in self._result.loads.items() for edit in self._load(load_id, load)]
        self._notices.extend(self._made())
        edits = (*self._edits, *loads)
        count = sum(row.state in {NEW, CHANGED} for row in self._rows)
        words = f"import {counted(count, 'load', 'loads')} from {clean(self._path.name)}"
        sheet = Sheet(
            file=str(self._path),
            rows=tuple(self._rows),
            columns=self._result.columns,
            questions=tuple(self._questions),
            problems=in_file_order(self._problems),
            doubts=self._result.doubts,
            notices=tuple(self._notices),
        )
        return LoadImport(sheet, Group(edits=edits, words=words) if edits else None)

    def _load(self, load_id: str, load: Load) -> list[Edit]:
        line, given = self._result.lines[load_id], self._result.given[load_id]
        load = self._renamed(load)
        known = self._spelling["loads"].get(load_id.casefold())
        if known is None and self._answers.ids and (twin := self._twin(load)):
            self._rows.append(Row(line, twin, SAME, ()))
            return []
        if known is None:
            self._rows.append(Row(line, load_id, NEW, tuple(_FIELDS[name].key for name in given)))
            return [AddLoad(load_id=load_id, load=load)]
        if known != load_id:
            message = f"the id differs only in capital letters from the load {known} of the proposal"
            self._problems.append(Problem(str(self._path), message, line, field=load_id))
            return []
        return self._existing(load_id, load, line, given)

    def _twin(self, load: Load) -> str:
        """Return the load of the proposal that a numbered row says the very same of; a list may be imported twice."""
        return next((key for key, other in self._proposal.loads.items() if other == load), "")

    def _existing(self, load_id: str, load: Load, line: int, given: tuple[str, ...]) -> list[Edit]:
        before = self._proposal.loads[load_id]
        values = {name: _merged(getattr(before, name), getattr(load, name)) for name in given}
        changed = {name: value for name, value in values.items() if value != getattr(before, name)}
        keys = tuple(_FIELDS[name].key for name in changed)
        if not changed:
            self._rows.append(Row(line, load_id, SAME, ()))
        elif self._answers.existing == "replace":
            self._rows.append(Row(line, load_id, CHANGED, keys))
            return [SetField(place=f"loads.{load_id}.{_FIELDS[name].key}", value=changed[name]) for name in changed]
        elif self._answers.existing == "keep":
            self._rows.append(Row(line, load_id, KEPT, keys))
        else:
            message = f"the proposal has this load with another {', '.join(keys)}"
            self._problems.append(Problem(str(self._path), message, line, field=load_id))
            question = Question(
                "existing", "some loads are in the proposal with other values; keep those, or replace them?",
                choices=("keep", "replace"),
            )  # fmt: skip
            if question not in self._questions:
                self._questions.append(question)
        return []

    def _renamed(self, load: Load) -> Load:
        """Name zones, subsystems and modes as the proposal spells them, and make those that it lacks."""
        fields: dict[str, Any] = {}
        for table, name in _REFERENCES:
            named = getattr(load, name)
            if named:
                fields[name] = self._reference(table, named)
        for name in ("time_share_ratio", "pwm_duty_ratio", "pulse_rate_hz"):
            shares = getattr(load, name)
            if shares:
                fields[name] = {self._reference("modes", mode): value for mode, value in shares.items()}
        return msgspec.structs.replace(load, **fields)

    def _reference(self, table: str, named: str) -> str:
        spelling = self._spelling[table]
        known = spelling.get(named.casefold())
        if known is None:
            spelling[named.casefold()] = known = named
            name = self._result.names.get(named, "")
            made: dict[str, Edit] = {
                "zones": AddZone(zone_id=named, name=name),
                "subsystems": AddSubsystem(subsystem_id=named, name=name),
                "modes": AddMode(mode_id=named),
            }
            self._edits.append(made[table])
        return known

    def _made(self) -> list[str]:
        return [f"{edit.label}: the proposal does not have it yet" for edit in self._edits]


def _merged(before: Any, given: Any) -> Any:  # noqa: ANN401 - values of any field
    """Return a given value; of a table of values by mode those that were not given stay."""
    return {**before, **given} if isinstance(before, dict) and isinstance(given, dict) else given
