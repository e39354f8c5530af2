"""What stands around a part: chains of replacements, and the proposals that use it."""

import shutil
from pathlib import Path

import msgspec
import pytest

from bomtui.model.part import Part
from bomtui.services.catalog_relations import replacements_of, uses_of
from bomtui.services.errors import UnknownNameError
from bomtui.storage.catalog import open_catalog
from tests.architecture.scan import REPO

SAMPLES = REPO / "sample_projects"


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A catalog with a chain a -> b, c -> d -> a, of which c is not there; and a leaving controller."""
    place = str(tmp_path / "catalog.sqlite")
    with open_catalog(place) as catalog:
        mcu = catalog.get("mcu-144")
        assert mcu is not None
        parts = {
            "a": Part(kind="fet", alternates=("c", "b")),
            "b": Part(kind="fet", alternates=("d",)),
            "d": Part(kind="fet", alternates=("a", "b")),
            "mcu-144": msgspec.structs.replace(mcu, life_cycle="nrnd"),
        }
        catalog.build(parts, "edited")
    return place


def test_a_chain_of_replacements(place: str) -> None:
    """Each part once, the nearest first, with who names it; a circle ends, and one that is not there is told."""
    found = replacements_of("a", place)
    assert [(own.key, own.steps, own.via) for own in found] == [("b", 1, "a"), ("c", 1, "a"), ("d", 2, "b")]
    assert [own.part is None for own in found] == [False, True, False]
    assert replacements_of("mcu-144", place) == ()
    with pytest.raises(UnknownNameError, match="no part 'zz'"):
        replacements_of("zz", place)


def test_where_a_part_is_used(place: str, tmp_path: Path) -> None:
    """Devices by variant, whether the copy is another, and a proposal that cannot be read says so."""
    sweeper = Path(shutil.copytree(SAMPLES / "street_sweeper", tmp_path / "sweeper"))
    broken = tmp_path / "broken.toml"
    broken.write_text("format = ")
    used, gone = uses_of("mcu-144", (sweeper, broken), place)
    by_variant = dict(used.places)
    assert by_variant["zone"] == ("ZREA.U8",)
    assert used.is_frozen
    assert [change.field for change in used.changes] == ["life_cycle"]
    assert str(broken) in gone.fault
    (unused,) = uses_of("a", (sweeper,), place)
    assert (unused.places, unused.is_frozen, unused.changes) == ((), False, ())
