"""The sample proposals that come with the program."""

from dataclasses import dataclass
from pathlib import Path

from bomtui.storage.proposal.read import read_proposal
from bomtui.storage.shipped import sample_folders


@dataclass(frozen=True, slots=True)
class Sample:
    """A sample proposal.

    Attributes:
        name: Name of its folder.
        path: Its folder.
        title: Its title; the name of the folder where it cannot be read.
        note: What tells it from the others.
    """

    name: str
    path: Path
    title: str
    note: str


def samples() -> tuple[Sample, ...]:
    """Return the samples in alphabetical order."""
    return tuple(_sample(name, path) for name, path in sample_folders().items())


def _sample(name: str, path: Path) -> Sample:
    proposal = read_proposal(path).proposal
    if proposal is None:
        return Sample(name, path, name, "cannot be read: the installation is damaged")
    note = f"invented, {proposal.vehicle.supply}, {len(proposal.loads)} loads, {len(proposal.variants)} variants"
    return Sample(name, path, proposal.proposal.name or name, note)
