"""The frozen parts beside a proposal: the copy of part data and prices that it is computed with."""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import msgspec

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.model.part import Part
from bomtui.model.proposal import FORMAT, Proposal
from bomtui.storage.problems import Fault, Problem
from bomtui.storage.proposal.read import PARTS_SUFFIX
from bomtui.storage.proposal.toml_file import UnreadableError, os_sentence, read_toml, unreadable
from bomtui.storage.proposal.write import proposal_text
from bomtui.storage.records import read_record
from bomtui.storage.toml_text import tables

FIRST_LINE = "# bomtui frozen parts"
"""First line of every file of frozen parts."""

_HASH_DIGITS = 16


class _PartsFile(Base, frozen=True):
    parts: Annotated[dict[str, Part], Field("frozen parts by catalog key")] = msgspec.field(default_factory=dict)


def parts_path(proposal_path: Path) -> Path:
    """Return the file of the frozen parts that belongs to a proposal file."""
    return proposal_path.with_name(proposal_path.name.removesuffix(".toml") + PARTS_SUFFIX)


def read_parts(path: Path) -> tuple[dict[str, Part], tuple[Problem, ...]]:
    """Read frozen parts.

    Returns:
        Parts by catalog key, and everything that is wrong. A file that does not exist holds no parts and no fault: what
        is missing shows where a figure needs it.
    """
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return {}, ()
    except (OSError, ValueError) as error:
        sentence = os_sentence(error) if isinstance(error, OSError) else "expected a file name, found a NUL character"
        return {}, (unreadable(path, sentence).problem,)
    try:
        file = read_toml(path, FORMAT, "frozen parts")
    except UnreadableError as error:
        return {}, (error.problem,)
    faults: list[Fault] = []
    table = {key: value for key, value in file.table.items() if key != "format"}
    content = read_record(_PartsFile, table, (), faults)
    return ({} if content is None else content.parts), file.problems(faults)


def parts_text(parts: Mapping[str, Part]) -> str:
    """Write frozen parts as the canonical text of their file.

    Raises:
        ValueError: A number in them is not finite.
    """
    blocks = tables(_PartsFile(parts=dict(parts)), "")
    return "\n\n".join((f"{FIRST_LINE}\nformat = {FORMAT}", *blocks)) + "\n"


def content_hash(proposal: Proposal, parts: Mapping[str, Part]) -> str:
    """Return the hash that artefacts print, so that a reader can tell from which content they were made.

    It is the first 16 hexadecimal digits of SHA-256 (FIPS 180-4) over both canonical texts; nothing stores it.
    """
    digest = hashlib.sha256(proposal_text(proposal).encode())
    digest.update(parts_text(parts).encode())
    return digest.hexdigest()[:_HASH_DIGITS]
