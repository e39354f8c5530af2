"""The committed samples as they are read, and their rollups, each computed once for all tests."""

from functools import cache
from pathlib import Path

from bomtui.engine.rollup import rollup
from bomtui.model.bound import Value, ends
from bomtui.model.proposal import Snapshot
from bomtui.model.rollup import Rollup
from bomtui.storage.frozen_parts import parts_path, read_parts
from bomtui.storage.proposal.read import read_proposal
from tests.samples.make_samples import SAMPLES

DEMO_VARIANTS = (("sweeper", "distributed"), ("sweeper", "zone"), ("van", "distributed"), ("van", "central"))
"""Vehicle and variant of the demos, as their published tables name them."""

COSTED = DEMO_VARIANTS[:2]
"""Those of which the demo publishes cost, wires and standby of the whole vehicle."""

VARIANTS = (*DEMO_VARIANTS, ("bench", "bench"))
"""Vehicle and variant of every sample."""

FOLDERS = {"sweeper": "street_sweeper", "van": "parcel_van", "bench": "subject_bench"}


def sample_path(vehicle: str) -> Path:
    """Return the proposal file of a vehicle."""
    return SAMPLES / FOLDERS[vehicle] / f"{FOLDERS[vehicle]}.toml"


@cache
def snapshot(vehicle: str) -> Snapshot:
    """Read a committed sample with its frozen parts."""
    path = sample_path(vehicle)
    proposal = read_proposal(path).proposal
    parts, _ = read_parts(parts_path(path))
    assert proposal is not None
    return Snapshot(proposal=proposal, parts=parts)


@cache
def result(vehicle: str, variant: str) -> Rollup:
    """Return the rollup of one variant of a committed sample."""
    return rollup(snapshot(vehicle), variant).result


def lowest(value: Value) -> float:
    """Return a figure, or its lower bound."""
    assert value is not None
    return ends(value)[0]
