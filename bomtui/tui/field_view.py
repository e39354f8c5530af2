"""Fields of a record as the screens show and edit them: plain data, no screen library."""

from dataclasses import dataclass
from typing import Any, Literal

FieldKind = Literal["text", "choice", "flag", "fields", "table", "record"]
"""How a line is edited: typed over; one of a few; on and off. Or what it holds: fields; records by id; those of one."""


@dataclass(frozen=True, slots=True)
class FieldLine:
    """A field, or what holds fields.

    Attributes:
        place: The field or record as files name it, such as `loads.L11.rated_power`.
        title: What people call it beside its record: `rated power`, the id of a mode.
        kind: How it is edited.
        text: What stands in it, as it is typed; empty for an unknown; None where no single line can hold it.
        shown: The same for reading: an unknown by its word.
        remark: `default` where the field does not stand in the file and this is what then holds.
        cleared: What the field is set to when it is cleared; None for unknown, or what an absent key stands for.
        children: What is inside.
    """

    place: str
    title: str
    kind: FieldKind
    text: str | None = ""
    shown: str = ""
    remark: str = ""
    cleared: Any = None
    children: tuple["FieldLine", ...] = ()


@dataclass(frozen=True, slots=True)
class FieldsView:
    """Fields of one snapshot.

    Attributes:
        title: Whose fields they are.
        lines: The fields.
    """

    title: str
    lines: tuple[FieldLine, ...]


@dataclass(frozen=True, slots=True)
class FieldHelp:
    """What a field says of itself.

    Attributes:
        words: What people call it with its record: `rated power of L11`.
        help: One sentence.
        expected: What it takes.
        fixed: Why it is not set by itself, and how it is changed; empty for a field that can be set.
        example: How a list is typed, such as `short; open`; empty for a field that is none.
    """

    words: str
    help: str
    expected: str
    fixed: str = ""
    example: str = ""


@dataclass(frozen=True, slots=True)
class FieldChoice:
    """A value that a field may have.

    Attributes:
        id: The value as it is typed; empty for none.
        title: The same for reading.
        note: What tells it from the others.
    """

    id: str
    title: str
    note: str = ""
