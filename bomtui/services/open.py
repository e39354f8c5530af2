"""Open a proposal: the file, the frozen parts beside it, and everything that is wrong with either."""

from dataclasses import dataclass
from pathlib import Path

from bomtui.model.proposal import Snapshot
from bomtui.services.errors import BomtuiError
from bomtui.storage.frozen_parts import content_hash, parts_path, read_parts
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.read import read_proposal

__all__ = ["Opened", "Problem", "open_proposal"]


@dataclass(frozen=True, slots=True)
class Opened:
    """An open proposal.

    Attributes:
        path: The proposal file itself, also where a folder was asked for.
        snapshot: Proposal and frozen parts, without what is faulty. A part that the proposal names and the frozen parts
            lack is looked up nowhere: its figures are unknown, and the review says so.
        problems: Everything that is wrong with both files.
        content_hash: Hash of what was read, as artefacts print it.
        file_hash: SHA-256 of the proposal file's bytes, for noticing that it was changed outside.
    """

    path: Path
    snapshot: Snapshot
    problems: tuple[Problem, ...]
    content_hash: str
    file_hash: str


def open_proposal(path: Path) -> Opened:
    """Open a proposal file, or the one proposal of a folder; a half-broken one opens with its problems listed.

    Raises:
        BomtuiError: Nothing of it can be read; the sentence names file, line and what was expected.
    """
    read = read_proposal(path)
    if read.proposal is None:
        first, rest = read.problems[0], read.problems[1:]
        if not rest:
            raise BomtuiError(str(first))
        raise BomtuiError(f"{read.path}: nothing of this proposal can be opened", read.problems)
    parts, problems = read_parts(parts_path(read.path))
    return Opened(
        path=read.path,
        snapshot=Snapshot(proposal=read.proposal, parts=parts),
        problems=(*read.problems, *problems),
        content_hash=content_hash(read.proposal, parts),
        file_hash=read.file_hash,
    )
