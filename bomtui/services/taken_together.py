"""Several opportunities as one step: each was judged by itself, so that what they do together is judged before."""

from collections import Counter
from collections.abc import Iterable, Sequence

from bomtui.edit.edit import Edit, Refusal
from bomtui.edit.edits.group import Group
from bomtui.model.finding import Finding
from bomtui.packing.check import Moved, checked
from bomtui.packing.kept import Keep
from bomtui.services.review import Reviewed


def taken_together(
    reviewed: Reviewed,
    edits: Sequence[Edit],
    announced: Iterable[Finding],
    keep: Keep = "warnings",
    moved: Moved | None = None,
) -> tuple[Finding, ...] | Refusal:
    """Return the findings that several steps bring together and none of them had announced.

    Args:
        reviewed: The variant, computed and reviewed.
        edits: The steps, each judged by itself.
        announced: Findings that they were said to bring.
        keep: As they were judged.
        moved: Where the subjects of findings are after all of them; None where they move none.
    """
    step = Group(edits=tuple(edits), words="together")
    after = checked(reviewed.computed.memo, reviewed.review, step, keep, moved=moved)
    if isinstance(after, Refusal):
        return after
    left = Counter(map(_known_by, announced))
    found = []
    for own in after.added:
        if left[_known_by(own)]:
            left[_known_by(own)] -= 1
        else:
            found.append(own)
    return tuple(found)


def _known_by(finding: Finding) -> tuple[str, str, str, str]:
    return finding.rule, finding.place, finding.outcome, finding.severity
