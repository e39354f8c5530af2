"""A proposal file to a proposal, with everything that is wrong in it."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bomtui.model.proposal import FORMAT, Info, Proposal
from bomtui.storage.field_text import shown
from bomtui.storage.problems import Fault, Problem
from bomtui.storage.proposal.check import check_references
from bomtui.storage.proposal.locate import locate
from bomtui.storage.proposal.toml_file import UnreadableError, os_sentence, read_toml, unreadable
from bomtui.storage.records import read_record

PARTS_SUFFIX = ".parts.toml"
"""Ending of the file with the frozen parts of a proposal."""

FIRST_LINE = "# bomtui proposal"
"""First line of every proposal file."""

_LISTED_NAMES = 5


@dataclass(frozen=True, slots=True)
class ReadResult:
    """What was read.

    Attributes:
        path: The proposal file itself, also where a folder was asked for.
        proposal: The proposal without what is faulty; None where nothing can be opened.
        problems: Everything that is wrong, in the order of the lines.
        leading_comment: Comment block at the top of the file, without `FIRST_LINE`; the writer keeps it.
        lost_comments: Lines of all other comments, which a save cannot keep.
        file_hash: SHA-256 of the file's bytes; empty where it could not be read.
    """

    path: Path
    proposal: Proposal | None
    problems: tuple[Problem, ...] = ()
    leading_comment: str = ""
    lost_comments: tuple[int, ...] = ()
    file_hash: str = ""


def read_proposal(path: Path) -> ReadResult:
    """Read a proposal file, or the one proposal of a folder.

    A faulty field is taken as if it were absent, and a record that cannot be taken is left out; both are listed, and
    nothing of what is missing turns into a zero. Nothing is raised for any content of the file.
    """
    try:
        path = find_proposal(path)
        file = read_toml(path, FORMAT, "a proposal")
        if "parts" in file.table and "proposal" not in file.table:
            raise unreadable(path, "expected a proposal, found the frozen parts of one")
    except UnreadableError as error:
        return ReadResult(path, None, (error.problem,))
    faults: list[Fault] = []
    table = {key: value for key, value in file.table.items() if key != "format"}
    proposal = read_record(Proposal, _with_name(table, faults), (), faults)
    if proposal is not None:
        proposal = check_references(proposal, table, faults)
    leading, lost = _comments(file.text)
    return ReadResult(path, proposal, file.problems(faults), leading, lost, file.file_hash)


def find_proposal(path: Path) -> Path:
    """Return the file of a proposal: the path itself, or the only proposal in a folder.

    Raises:
        UnreadableError: The folder cannot be read, or holds none or several.
    """
    try:
        if not path.is_dir():
            return path
        names = sorted(
            entry.name
            for entry in path.iterdir()
            if entry.suffix == ".toml" and not entry.name.endswith(PARTS_SUFFIX) and not entry.name.startswith(".")
        )
    except OSError as error:
        raise unreadable(path, os_sentence(error)) from None
    except ValueError:
        raise unreadable(path, "expected a file name, found one with a NUL character") from None
    if not names:
        raise unreadable(path, "expected a folder with one proposal (NAME.toml), found none in it")
    if len(names) > 1:
        listed = ", ".join(names[:_LISTED_NAMES]) + (", ..." if len(names) > _LISTED_NAMES else "")
        raise unreadable(path, f"expected a folder with one proposal, found {len(names)}: {listed}")
    return path / names[0]


def _with_name(table: dict[str, Any], faults: list[Fault]) -> dict[str, Any]:
    """Give a proposal without a readable title an empty one: a missing title keeps nobody from the numbers."""
    info = table.get("proposal")
    if isinstance(info, dict) and isinstance(info.get("name"), str):
        return table
    if isinstance(info, dict):
        found = shown(info["name"]) if "name" in info else "no such key"
        path: tuple[str, ...] = ("proposal", "name")
        expected = "name = text in quotes"
    else:
        found, path = ("no such table" if info is None else shown(info)), ("proposal",)
        expected = "a table [proposal] with the title as name"
        info = {}
    faults.append(Fault(path, f"expected {expected}, found {found}", found, expected))
    return {**table, "proposal": {**info, "name": Info(name="").name}}


def _comments(text: str) -> tuple[str, tuple[int, ...]]:
    """Return the comment block at the top, and the lines of all other comments."""
    lines = text.split("\n")
    length = next((number for number, line in enumerate(lines) if line.strip() and line.strip()[0] != "#"), len(lines))
    block = [line.strip() for line in lines[:length]]
    rest = "\n".join(lines[length:])
    lost = tuple(length + comment.line for comment in locate(rest).comments) if "#" in rest else ()
    first = next((number for number, line in enumerate(block) if line), length)
    own = block[first + 1 :] if first < length and block[first] == FIRST_LINE else block
    return "\n".join(own).strip("\n"), lost
