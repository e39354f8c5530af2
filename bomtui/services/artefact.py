"""A computed and reviewed variant as what exports are made of, and its JSON."""

from bomtui.export.facts import ASSUMPTION, PACKAGE_FACTS, heading_facts
from bomtui.export.json import json_bytes
from bomtui.export.records import Basis, Heading, ProblemRecord, heading
from bomtui.export.review_record import review_record
from bomtui.export.rollup_record import rollup_record
from bomtui.model.plain_text import clean
from bomtui.services.open import Problem
from bomtui.services.program import version
from bomtui.services.review import Reviewed

__all__ = ["ASSUMPTION", "PACKAGE_FACTS", "as_json", "basis", "facts", "review_json", "rollup_json"]


def basis(reviewed: Reviewed, *, forced: bool = False) -> Basis:
    """Return all that an artefact of a variant is made of.

    File problems bear the name of their file, not its folder: the same content gives the same bytes anywhere.

    Args:
        reviewed: The variant, computed and reviewed.
        forced: Whether it is written on demand whatever the errors.
    """
    opened = reviewed.computed.opened
    return Basis(
        proposal=opened.snapshot.proposal,
        parts=opened.snapshot.parts,
        rollup=reviewed.computed.rollup,
        review=reviewed.review,
        content_hash=opened.content_hash,
        version=version(),
        problems=tuple(map(_problem, opened.problems)),
        forced=forced,
    )


def rollup_json(reviewed: Reviewed) -> bytes:
    """Return the rollup of a variant as JSON."""
    return json_bytes(rollup_record(basis(reviewed)))


def review_json(reviewed: Reviewed) -> bytes:
    """Return the review of a variant as JSON."""
    return json_bytes(review_record(basis(reviewed)))


def as_json(data: object) -> bytes:
    """Return plain data as JSON."""
    return json_bytes(data)


def facts(reviewed: Reviewed, what: str) -> tuple[tuple[str, str], ...]:
    """Return label and text of what every artefact carries.

    Args:
        reviewed: The variant, computed and reviewed.
        what: What the artefact is, for its title.
    """
    return heading_facts(Heading(**heading(basis(reviewed), what)))  # type: ignore[arg-type]


def _problem(problem: Problem) -> ProblemRecord:
    name = problem.file.replace("\\", "/").rpartition("/")[2]
    place = ": ".join(part for part in (problem.field, problem.column) if part)
    return ProblemRecord(file=clean(name), line=problem.line, field=clean(place), message=clean(problem.message))
