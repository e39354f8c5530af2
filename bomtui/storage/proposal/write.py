"""A proposal to the one canonical text of its file, made to be read, compared and merged by people."""

import re

from bomtui.model.proposal import FORMAT, Proposal
from bomtui.storage.proposal.read import FIRST_LINE
from bomtui.storage.toml_text import tables

# A comment of TOML holds no control character but the tab.
_NOT_IN_COMMENTS = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")


def proposal_text(proposal: Proposal, leading_comment: str = "") -> str:
    """Write a proposal.

    The text depends on the proposal and its comment only: tables in natural order of their ids, fields in the order of
    the field table, absent where the field has its default, LF line ends, no date, counter or hash of saving.

    Args:
        proposal: What to write.
        leading_comment: Comment lines for the top of the file, as `ReadResult.leading_comment` gives them.

    Raises:
        ValueError: A number in it is not finite.
    """
    head = [FIRST_LINE, *_comment_lines(leading_comment)]
    # A table of the format's own must not follow a comment as if it belonged to it.
    if len(head) > 1:
        head.append("")
    return "\n\n".join(("\n".join((*head, f"format = {FORMAT}")), *tables(proposal, ""))) + "\n"


def _comment_lines(comment: str) -> list[str]:
    lines = [_NOT_IN_COMMENTS.sub("", line).strip() for line in comment.replace("\r", "\n").split("\n")]
    marked = [line if not line or line.startswith("#") else f"# {line}" for line in lines]
    return "\n".join(marked).strip("\n").split("\n") if any(marked) else []
