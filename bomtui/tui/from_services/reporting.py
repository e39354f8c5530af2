"""Comparisons and cost over volume of the open proposal; loaded by who asks for one."""

from collections.abc import Callable
from pathlib import Path

from bomtui.services.compare import compare
from bomtui.services.errors import BomtuiError
from bomtui.services.open import open_proposal
from bomtui.services.other_variant import other_variant
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.services.volumes import volumes
from bomtui.tui.from_services.comparing import comparison_report
from bomtui.tui.from_services.over_volume import volumes_report
from bomtui.tui.report import Refused, Report

ReviewedOf = Callable[[str], Reviewed | None]
NOT_THERE = Refused("There is no such variant any more.")


def comparison(reviewed_of: ReviewedOf, first: str, second: str, path: str) -> Report | Refused:
    """Return a comparison of two variants.

    Args:
        reviewed_of: The variants of the open proposal.
        first: Variant of the first side; with a path, of the same id in that file where it has one.
        second: Variant of the second side.
        path: Another file for the first side; empty for the open proposal.
    """
    try:
        one = _of_file(Path(path).expanduser(), first) if path else reviewed_of(first)
    except BomtuiError as error:
        return Refused(f"{error}.")
    other = reviewed_of(second)
    return NOT_THERE if one is None or other is None else comparison_report(compare(one, other))


def _of_file(path: Path, variant: str) -> Reviewed:
    opened = open_proposal(path)
    return review(compute(opened, other_variant(opened.snapshot.proposal, variant, is_same_file=False)))


def over_volume(reviewed_of: ReviewedOf, variants: tuple[str, ...], wanted: tuple[int, ...]) -> Report | Refused:
    """Return cost over volume of one variant or two."""
    found = [own for own in map(reviewed_of, variants) if own is not None]
    if len(found) < len(variants):
        return NOT_THERE
    try:
        return volumes_report(volumes(found, wanted))
    except BomtuiError as error:
        return Refused(f"{error}.")
