"""What the program writes of the samples is, byte for byte, what lies beside them."""

import pytest

from tests.samples.expected import expected_folder, output_names, outputs, pinned_version
from tests.samples.rollups import FOLDERS, VARIANTS


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_outputs_are_the_expected_ones(vehicle: str, variant: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rollup, review and parts list of each variant come out as they were kept."""
    monkeypatch.setattr("bomtui.services.artefact.version", pinned_version)
    for name, data in outputs(vehicle, variant).items():
        assert data == (expected_folder(vehicle) / name).read_bytes(), name


def test_nothing_else_is_kept() -> None:
    """Every kept output belongs to a variant that exists."""
    wanted = {(vehicle, name) for vehicle, variant in VARIANTS for name in output_names(variant)}
    found = {(vehicle, path.name) for vehicle in FOLDERS for path in expected_folder(vehicle).iterdir()}
    assert found == wanted
