"""The lines of a journal: what they say, what is left of them after a program was killed, and what of it is unsaved."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import msgspec

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.history import History
from bomtui.model.part import Part
from bomtui.model.proposal import Snapshot
from bomtui.storage.edit_record import edit_from_record, edit_record, parts_from_tables, record_table

FORMAT = 1
"""Version of the journal that this program writes."""


class JournalError(ValueError):
    """A journal that cannot be taken up; its text is one sentence."""


@dataclass(frozen=True, slots=True)
class Content:
    """What the two files of a proposal hold, as SHA-256 of their bytes; empty for a file that does not exist."""

    proposal: str
    parts: str


@dataclass(frozen=True, slots=True)
class Done:
    """A step that was done, or done again.

    Attributes:
        edit: What was done.
        replaces: Whether it takes the place of the step before it.
    """

    edit: Edit
    replaces: bool = False


@dataclass(frozen=True, slots=True)
class Undone:
    """The last step was undone."""


@dataclass(frozen=True, slots=True)
class Saving:
    """A save is about to write these contents, first the parts, then the proposal.

    Attributes:
        content: What the files will hold.
        base_parts: The frozen parts that the steps began with, where the save writes others.
    """

    content: Content
    base_parts: Mapping[str, Part] | None = None


Line = Done | Undone | Saving


@dataclass(frozen=True, slots=True)
class Pending:
    """Steps that are not in the files.

    Attributes:
        lines: The steps.
        base_parts: Frozen parts to begin with; None for those of the file.
    """

    lines: tuple[Done | Undone, ...]
    base_parts: Mapping[str, Part] | None = None


@dataclass(frozen=True, slots=True)
class Left:
    """What a journal holds.

    Attributes:
        base: The contents that its steps belong to.
        lines: All lines in order.
        length: Bytes up to the end of the last whole line.
    """

    base: Content
    lines: tuple[Line, ...]
    length: int

    @property
    def edits(self) -> tuple[Edit, ...]:
        """What was done and not undone, in order."""
        edits: list[Edit] = []
        for line in self.lines:
            if edits and (isinstance(line, Undone) or (isinstance(line, Done) and line.replaces)):
                edits.pop()
            if isinstance(line, Done):
                edits.append(line.edit)
        return tuple(edits)

    def pending(self, found: Content) -> Pending | None:
        """Return the steps that the files as they are found do not hold; None where they belong to other contents.

        A save writes the parts, then the proposal, then clears the journal; a program can be killed after each step.
        """
        parts: Mapping[str, Part] | None = None
        for position in range(len(self.lines) - 1, -1, -1):
            line = self.lines[position]
            if not isinstance(line, Saving):
                continue
            if line.content == found:
                return Pending(_steps(self.lines[position + 1 :]))
            if line.content.parts == found.parts and line.base_parts is not None:
                parts = line.base_parts
        if found == self.base:
            return Pending(_steps(self.lines))
        if found.proposal == self.base.proposal and parts is not None:
            return Pending(_steps(self.lines), parts)
        return None


def replay(pending: Pending, start: Snapshot) -> History:
    """Do steps again.

    Args:
        pending: The steps.
        start: The snapshot that they belong to.

    Raises:
        JournalError: A step cannot be done.
    """
    if pending.base_parts is not None:
        start = msgspec.structs.replace(start, parts=dict(pending.base_parts))
    history = History(start)
    for number, line in enumerate(pending.lines, start=1):
        if isinstance(line, Undone):
            if history.undo() is None:
                raise JournalError(f"step {number} undoes something that was not done")
            continue
        step = history.attempt(line.edit, continues=line.replaces)
        if step is None or isinstance(step, Refusal):
            why = "it changes nothing" if step is None else step.sentence
            raise JournalError(f"step {number} ({line.edit.label}) cannot be done again: {why}")
        history.take(step)
    return history


def written_head(base: Content) -> bytes:
    """Write the first line."""
    return _json({"journal": FORMAT, "proposal": base.proposal, "parts": base.parts})


def written_line(line: Line) -> bytes:
    """Write a further line."""
    if isinstance(line, Undone):
        return _json({"undo": True})
    if isinstance(line, Saving):
        record: dict[str, Any] = {"saving": {"proposal": line.content.proposal, "parts": line.content.parts}}
        if line.base_parts is not None:
            record["base_parts"] = {key: record_table(part) for key, part in line.base_parts.items()}
        return _json(record)
    return _json({"step": edit_record(line.edit), **({"replaces": True} if line.replaces else {})})


def read_lines(data: bytes) -> Left | None:
    """Read a journal.

    A last line that was not written to its end was never acknowledged, and is left out.

    Returns:
        What it holds; None where not even its first line was written to its end.

    Raises:
        JournalError: Another line cannot be read.
    """
    whole = data[: data.rfind(b"\n") + 1]
    texts = whole.split(b"\n")[:-1]
    base: Content | None = None
    lines: list[Line] = []
    length = 0
    for number, text in enumerate(texts, start=1):
        try:
            if base is None:
                base = _head(text)
            else:
                lines.append(_line(text))
        except ValueError as error:
            if number == len(texts):
                break
            raise JournalError(f"line {number} cannot be read: {error}") from error
        length += len(text) + 1
    return None if base is None else Left(base, tuple(lines), length)


class _Head(msgspec.Struct, forbid_unknown_fields=True):
    journal: int
    proposal: str
    parts: str


class _Content(msgspec.Struct, forbid_unknown_fields=True):
    proposal: str
    parts: str


class _Line(msgspec.Struct, forbid_unknown_fields=True):
    step: dict[str, Any] | None = None
    replaces: bool = False
    undo: bool = False
    saving: _Content | None = None
    base_parts: dict[str, Any] | None = None


def _head(text: bytes) -> Content:
    head = msgspec.json.decode(text, type=_Head)
    if head.journal != FORMAT:
        raise JournalError(f"expected a journal of format {FORMAT}, found {head.journal}")
    return Content(head.proposal, head.parts)


def _line(text: bytes) -> Line:
    line = msgspec.json.decode(text, type=_Line)
    if line.step is not None:
        return Done(edit_from_record(line.step), line.replaces)
    if line.saving is not None:
        parts = None if line.base_parts is None else parts_from_tables(line.base_parts)
        return Saving(Content(line.saving.proposal, line.saving.parts), parts)
    if line.undo:
        return Undone()
    raise JournalError("expected a step, an undo or a save, found none")


def _steps(lines: tuple[Line, ...]) -> tuple[Done | Undone, ...]:
    return tuple(line for line in lines if not isinstance(line, Saving))


def _json(record: dict[str, Any]) -> bytes:
    return msgspec.json.encode(record) + b"\n"
