"""The sample proposals that come with the program."""

from dataclasses import dataclass
from pathlib import Path

from bomtui.storage.frozen_parts import parts_path
from bomtui.storage.proposal.read import read_proposal
from bomtui.storage.shipped import SAMPLES, sample_folders, shipped_folder

_MOST_COPIES = 1000


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


def is_sample(path: Path) -> bool:
    """Tell whether a file is one that the program brings along; such files stay as they are."""
    folder = shipped_folder(SAMPLES)
    return folder is not None and path.resolve().is_relative_to(folder.resolve())


def own_copy(path: Path, folder: Path) -> Path:
    """Return a name for one's own copy of a proposal: its own in a folder, with a number where that is taken.

    Args:
        path: The proposal file.
        folder: Where the copy goes.
    """
    name = path.name.removesuffix(".toml")
    names = (f"{name}.toml", *(f"{name}-{number}.toml" for number in range(2, _MOST_COPIES)))
    return next((own for own in map(folder.joinpath, names) if not _is_taken(own)), folder / names[0])


def _is_taken(path: Path) -> bool:
    return path.exists() or parts_path(path).exists()


def _sample(name: str, path: Path) -> Sample:
    proposal = read_proposal(path).proposal
    if proposal is None:
        return Sample(name, path, name, "cannot be read: the installation is damaged")
    variants = f"{len(proposal.variants)} variant{'' if len(proposal.variants) == 1 else 's'}"
    note = f"invented, {proposal.vehicle.supply}, {len(proposal.loads)} loads, {variants}"
    return Sample(name, path, proposal.proposal.name or name, note)
