"""A small proposal in a folder of its own, open in a session."""

from pathlib import Path

import pytest

from bomtui.services.session import Session, open_session
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from tests.edit.small import small


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A small proposal with its frozen parts in a folder of its own."""
    folder = tmp_path / "offer"
    folder.mkdir()
    file = folder / "small.toml"
    file.write_text(proposal_text(small().proposal, "# kept\n# comment"), encoding="utf-8")
    parts_path(file).write_text(parts_text(small().parts), encoding="utf-8")
    return file


@pytest.fixture
def journals(tmp_path: Path) -> Path:
    """Folder of the journals."""
    return tmp_path / "state"


@pytest.fixture
def session(path: Path, journals: Path) -> Session:
    """The small proposal, open."""
    return open_session(path, journals)
