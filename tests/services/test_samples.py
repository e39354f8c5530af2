"""Samples that come with the program are worked on, and never written."""

import os
from pathlib import Path

import pytest

from bomtui.services.samples import is_sample, own_copy, samples
from bomtui.services.saving import SampleError
from bomtui.services.session import open_session
from tests.services.small_session import do

SAMPLES = samples()


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)
def test_a_sample_is_known_by_its_place(sample: object, tmp_path: Path) -> None:
    """Its folder and file are samples, by another way to it too; a copy elsewhere is not."""
    folder = sample.path  # type: ignore[attr-defined]
    (file,) = (own for own in folder.glob("*.toml") if not own.name.endswith(".parts.toml"))
    assert is_sample(folder)
    assert is_sample(file)
    link = tmp_path / "link"
    link.symlink_to(folder)
    assert is_sample(link / file.name)
    assert not is_sample(tmp_path / file.name)
    assert not is_sample(tmp_path)


def test_a_sample_is_not_saved_but_saved_as(tmp_path: Path) -> None:
    """A save writes nothing, whatever it is told, and keeps the steps; under another name all of it stands."""
    sample = SAMPLES[0].path
    before = {file.name: file.read_bytes() for file in sample.iterdir() if file.is_file()}
    session = open_session(sample, tmp_path / "journals")
    do(session, "proposal.revision", "Z")
    for force in (False, True):
        with pytest.raises(SampleError):
            session.save(force=force, losing=True)
    assert session.unsaved
    assert {file.name: file.read_bytes() for file in sample.iterdir() if file.is_file()} == before
    session.save_as(own_copy(session.path, tmp_path))
    assert session.path == tmp_path / f"{sample.name}.toml"
    assert not session.unsaved
    do(session, "proposal.revision", "Y")
    session.save()
    session.close()
    again = open_session(tmp_path / f"{sample.name}.toml", tmp_path / "journals")
    assert again.snapshot.proposal.proposal.revision == "Y"
    again.close()


def test_the_name_of_a_copy_is_free(tmp_path: Path) -> None:
    """A copy bears the sample's name, with a number where proposal or frozen parts of that name are there."""
    original = Path(os.sep, "somewhere", "van.toml")
    assert own_copy(original, tmp_path) == tmp_path / "van.toml"
    (tmp_path / "van.toml").touch()
    assert own_copy(original, tmp_path) == tmp_path / "van-2.toml"
    (tmp_path / "van-2.parts.toml").touch()
    assert own_copy(original, tmp_path) == tmp_path / "van-3.toml"
