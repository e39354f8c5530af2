"""What is written reads back equal, and writing it again gives the same bytes."""

import tempfile
from pathlib import Path
from typing import Any

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.storage.frozen_parts import content_hash, parts_text, read_parts
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.read import ReadResult, read_proposal
from bomtui.storage.proposal.write import proposal_text
from tests.strategies import proposals, snapshots, texts, wide_parts


def proposal_from(text: str) -> ReadResult:
    """Read a proposal from the bytes of a text."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "p.toml"
        path.write_bytes(text.encode())
        return read_proposal(path)


def parts_from(text: str) -> tuple[dict[str, Part], tuple[Problem, ...]]:
    """Read frozen parts from the bytes of a text."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "p.parts.toml"
        path.write_bytes(text.encode())
        return read_parts(path)


def shuffled_top(proposal: Proposal) -> Proposal:
    """The same proposal with the ids of its tables in the reverse order of memory."""
    fields: dict[str, Any] = {name: getattr(proposal, name) for name in Proposal.__struct_fields__}
    turned = {
        name: dict(reversed(value.items())) if isinstance(value, dict) else value for name, value in fields.items()
    }
    return msgspec.structs.replace(proposal, **turned)


@given(proposals())
@settings(max_examples=15)
def test_a_proposal_reads_back_equal(proposal: Proposal) -> None:
    """A written proposal has no problem, is the same proposal, and is written again byte by byte."""
    text = proposal_text(proposal)
    result = proposal_from(text)
    assert result.problems == ()
    assert result.proposal == proposal
    assert proposal_text(result.proposal) == text


@given(wide_parts())
def test_a_part_reads_back_equal(part: Part) -> None:
    """A written part with any fields has no problem, is the same part, and is written again byte by byte."""
    text = parts_text({"x-1": part})
    parts, problems = parts_from(text)
    assert problems == ()
    assert parts == {"x-1": part}
    assert parts_text(parts) == text


@given(snapshots())
@settings(max_examples=20)
def test_the_order_in_memory_changes_no_byte(snapshot: Snapshot) -> None:
    """Records that were added in another order are written at the same places, and the content hash is the same."""
    turned, parts = shuffled_top(snapshot.proposal), dict(reversed(snapshot.parts.items()))
    assert proposal_text(turned) == proposal_text(snapshot.proposal)
    assert parts_text(parts) == parts_text(snapshot.parts)
    assert content_hash(turned, parts) == content_hash(snapshot.proposal, snapshot.parts)


@given(comment=st.lists(texts(), max_size=3).map("\n".join))
def test_a_leading_comment_is_kept(comment: str) -> None:
    """A comment block at the top comes back as it was written, whatever its text."""
    proposal = proposal_from('format = 1\n[proposal]\nname = "x"\n[vehicle]\nsupply = "24 V"\n').proposal
    assert proposal is not None
    text = proposal_text(proposal, comment)
    result = proposal_from(text)
    assert result.problems == ()
    assert result.proposal == proposal
    assert proposal_text(proposal, result.leading_comment) == text
