"""Open a proposal: the file, the frozen parts beside it, and everything that is wrong with either."""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from bomtui.model.plain_text import clean
from bomtui.model.proposal import Snapshot
from bomtui.services.errors import BomtuiError
from bomtui.storage.atomic import file_hash
from bomtui.storage.frozen_parts import content_hash, parts_path, read_parts
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.read import read_proposal

__all__ = ["Opened", "Problem", "open_proposal"]


@dataclass(frozen=True)
class Opened:
    """An open proposal.

    Attributes:
        path: The proposal file itself, also where a folder was asked for.
        snapshot: Proposal and frozen parts, without what is faulty. A part that the proposal names and the frozen parts
            lack is looked up nowhere: its figures are unknown, and the review says so.
        problems: Everything that is wrong with both files.
        file_hash: SHA-256 of the proposal file's bytes, for noticing that it was changed outside.
        parts_hash: SHA-256 of the frozen parts file's bytes, likewise; empty where there is none.
        leading_comment: Comment block at the top of the proposal file, which a save keeps.
        lost_comments: Lines of all other comments, which a save cannot keep.
    """

    path: Path
    snapshot: Snapshot
    problems: tuple[Problem, ...]
    file_hash: str
    parts_hash: str = ""
    leading_comment: str = ""
    lost_comments: tuple[int, ...] = ()

    @property
    def stem(self) -> str:
        """How names of files that are written from it begin: its own name, as text that every file system keeps."""
        return clean(self.path.name.removesuffix(".toml"))

    @cached_property
    def content_hash(self) -> str:
        """Hash of the content, as artefacts print it; worked out where it is asked for, because it takes a while."""
        return content_hash(self.snapshot.proposal, self.snapshot.parts)


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
    beside = parts_path(read.path)
    # Before the parts are read: where the file changes in between, a later save sees it and asks.
    hash_of_parts = _hash(beside)
    parts, problems = read_parts(beside)
    return Opened(
        path=read.path,
        snapshot=Snapshot(proposal=read.proposal, parts=parts),
        problems=(*read.problems, *problems),
        file_hash=read.file_hash,
        parts_hash=hash_of_parts,
        leading_comment=read.leading_comment,
        lost_comments=read.lost_comments,
    )


def _hash(path: Path) -> str:
    """Return the hash of a file; a mark that no file has where it cannot be read."""
    try:
        return file_hash(path)
    except (OSError, ValueError):
        return "unreadable"
