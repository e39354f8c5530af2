"""The catalog as the screens have it, over the shipped parts in a file."""

import datetime
from pathlib import Path

import msgspec
import pytest

from bomtui.services.catalog import Wish
from bomtui.services.part_draft import PartDraft
from bomtui.services.recent import remember
from bomtui.storage.catalog import Catalog, open_catalog
from bomtui.tui.catalog import CatalogPage, PartView, SideBySide
from bomtui.tui.from_services.catalog import ServicesCatalog
from bomtui.tui.report import Refused
from tests.cli.running import VAN

KEY = "hs12-2x9"


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The file of a catalog with the shipped parts."""
    path = tmp_path_factory.mktemp("catalog") / "catalog.sqlite"
    open_catalog(path).close()
    return path.read_bytes()


@pytest.fixture
def place(shipped: bytes, tmp_path: Path) -> Path:
    """A copy of it."""
    path = tmp_path / "catalog.sqlite"
    path.write_bytes(shipped)
    return path


@pytest.fixture
def catalog(place: Path, tmp_path: Path) -> ServicesCatalog:
    """The catalog in it, beside a folder that remembers nothing yet."""
    return ServicesCatalog(str(place), tmp_path)


def view(catalog: ServicesCatalog, key: str) -> PartView:
    """A part."""
    own = catalog.part(key)
    assert isinstance(own, PartView), own
    return own


def draft(catalog: ServicesCatalog, own: PartView, **texts: str) -> PartDraft:
    """What it would be."""
    found = catalog.draft(own, texts)
    assert not isinstance(found, Refused), found
    return found


def test_a_filter_narrows_and_shows_what_it_names(catalog: ServicesCatalog) -> None:
    """Filters are those of the command line; a column stands for what they name; a wrong one says why."""
    page = catalog.page(Wish(where=("rds_on <= 10 mohm",), kind="high_side", quantity=1000, currency="EUR"))
    assert isinstance(page, CatalogPage)
    assert "rds_on" in [column.title for column in page.columns]
    assert KEY in [line.key for line in page.lines]
    assert "expected a resistance" in catalog.problem(Wish(where=("rds_on <= 10 V",)))


def test_replacements_are_followed(catalog: ServicesCatalog, place: Path) -> None:
    """The parts that a part names, then those that these name, each with who names it; what is not there says so."""
    with Catalog(place) as there:
        own = there.get_many(("hs12-2x5", "hs12-1x2"))
        chain = {"hs12-1x2": ("hs12-2x5", "nowhere-1"), "hs12-2x5": ("hs12-4x16",)}
        there.build(
            {key: msgspec.structs.replace(own[key], alternates=named) for key, named in chain.items()}, "edited"
        )
    others = {other.key: other.note for other in view(catalog, "hs12-1x2").alternates}
    assert list(others)[:2] == ["hs12-2x5", "nowhere-1"]
    assert others["nowhere-1"] == "not in this catalog"
    assert others["hs12-4x16"].endswith("; by hs12-2x5")


def test_where_a_part_is_used(catalog: ServicesCatalog, tmp_path: Path) -> None:
    """Proposals that were opened lately are read: where the part stands, and whether their copy is another."""
    assert catalog.uses(KEY) == ()
    remember(VAN / "parcel_van.toml", "Van", datetime.date(2026, 11, 2), tmp_path)
    found = catalog.uses(KEY)
    assert not isinstance(found, Refused)
    van = found[0]
    assert (van.mark, van.word) == ("ok", "the same")
    assert any("MENG.U6" in line for line in van.lines)
    catalog.write(draft(catalog, view(catalog, KEY), moq="77"))
    changed = catalog.uses(KEY)
    assert not isinstance(changed, Refused)
    assert changed[0].word == "other data"
    assert any(line.startswith("moq: ") and line.endswith("77 here") for line in changed[0].lines)


def test_a_write_is_told_kept_and_taken_back(catalog: ServicesCatalog) -> None:
    """The history knows the step, and its undo brings the former part back; a draft of a former part is refused."""
    before = view(catalog, KEY)
    own = draft(catalog, before, moq="77")
    assert [change.field for change in own.changes] == ["moq"]
    assert catalog.write(own).state == "done"
    late = catalog.write(draft(catalog, before, moq="78"))
    assert late.state == "refused"
    assert "somebody else" in late.message
    steps = catalog.history()
    assert not isinstance(steps, Refused)
    assert catalog.undo(steps[0].id).state == "done"
    assert view(catalog, KEY).seen == before.seen


def test_parts_side_by_side(catalog: ServicesCatalog) -> None:
    """What differs comes first."""
    sides = catalog.side_by_side(("hs12-2x5", KEY))
    assert isinstance(sides, SideBySide)
    differing = [field.differs for field in sides.fields]
    assert differing == sorted(differing, reverse=True)
    assert ("5 mohm", "9 mohm") in [field.texts for field in sides.fields]


def test_what_cannot_be_used_is_one_sentence(tmp_path: Path) -> None:
    """A file that is no catalog is refused by every question in one sentence."""
    path = tmp_path / "letter.sqlite"
    path.write_bytes(b"this is a letter, not a database\n" * 40)
    catalog = ServicesCatalog(str(path), tmp_path)
    for answer in (catalog.page(Wish()), catalog.part(KEY), catalog.uses(KEY), catalog.history(), catalog.doubles()):
        assert isinstance(answer, Refused)
        assert answer.sentence.endswith(".")
        assert "\n" not in answer.sentence
