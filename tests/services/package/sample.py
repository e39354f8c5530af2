"""The artefacts of the sample vehicles, gathered once for all tests."""

from functools import cache

from bomtui.export.package.artefact import Artefact
from bomtui.services.compare import compare
from bomtui.services.open import open_proposal
from bomtui.services.package.gather import artefacts
from bomtui.services.package.subject import Subject
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.samples.rollups import sample_path


@cache
def subject(vehicle: str = "sweeper", variant: str = "zone") -> Subject:
    """A variant of a sample, computed and reviewed."""
    return Subject(review(compute(open_proposal(sample_path(vehicle)), variant)))


@cache
def gathered(vehicle: str = "sweeper", variant: str = "zone", other: str = "distributed") -> dict[str, Artefact]:
    """Every artefact of a variant of a sample, by name."""
    own = subject(vehicle, variant)
    compared = compare(own.reviewed, subject(vehicle, other).reviewed) if other else None
    return {artefact.name: artefact for artefact in artefacts(own, compared)}
