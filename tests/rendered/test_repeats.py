"""A package is the same, byte for byte, wherever and whenever it is written."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.architecture.scan import REPO
from tests.samples.rollups import sample_path

pytestmark = pytest.mark.slow


def _written(folder: Path, zone: str, seed: str, locale: str) -> dict[str, bytes]:
    environment = {**os.environ, "TZ": zone, "PYTHONHASHSEED": seed, "LC_ALL": locale, "PYTHONPATH": str(REPO)}
    command = [sys.executable, "-m", "bomtui", "package", str(sample_path("sweeper")), "-o", str(folder)]
    run = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert run.returncode == 1, run.stderr
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_repeats_are_byte_equal_in_two_processes_and_time_zones(tmp_path: Path) -> None:
    """Two processes with other time zones, hash seeds and locales write the same files."""
    first = _written(tmp_path / "one", "UTC", "1", "C")
    second = _written(tmp_path / "two", "Pacific/Kiritimati", "2", "C.UTF-8")
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []
    assert {path.rpartition(".")[2] for path in first} == {"csv", "html", "json", "md", "xlsx"}
