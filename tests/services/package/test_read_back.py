"""Lists that the program writes are read as what they were written from; loads and parts as text: `test_gather`."""

from functools import cache
from pathlib import Path

import pytest

from bomtui.export.notation import PLAIN_NOTATION, Notation
from bomtui.model.part import Part
from bomtui.services.list_import import plan_list
from bomtui.services.load_import import LoadImport, plan_loads
from bomtui.services.open import open_proposal
from bomtui.services.package.package import Options, package
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.services.sheets import SAME, Answers
from bomtui.storage.tabular.own_parts import read_any_parts

SAMPLES = Path(__file__).parents[3] / "sample_projects"
GIVEN = ("kind", "maker", "mpn", "moq", "multiple")
COMMA = Notation(decimal_comma=True, separator=";")
VARIANTS = [
    pytest.param("subject_bench", None, id="bench"),
    pytest.param("street_sweeper", "zone", id="sweeper", marks=pytest.mark.slow),
    pytest.param("parcel_van", "central", id="van", marks=pytest.mark.slow),
]


@cache
def sample(name: str, variant: str | None) -> Reviewed:
    """A variant of a sample, reviewed."""
    return review(compute(open_proposal(SAMPLES / name), variant))


@cache
def written(name: str, variant: str | None, form: str) -> dict[str, bytes]:
    """The files of its package, by what they hold."""
    notation = COMMA if form == "comma" else PLAIN_NOTATION
    options = Options(formats=("xlsx",) if form == "xlsx" else ("csv",), notation=notation)
    files = package(sample(name, variant), None, options).files
    return {own.artefact: own.data for own in reversed(files)}


def path_of(folder: Path, name: str, variant: str | None, form: str, artefact: str) -> Path:
    """One file of it, written into a folder."""
    path = folder / f"{artefact}.{'xlsx' if form == 'xlsx' else 'csv'}"
    path.write_bytes(written(name, variant, form)[artefact])
    return path


def check_all_the_same(found: LoadImport, count: int) -> None:
    """Every row says what is there already, and nothing is open or refused."""
    assert found.sheet.obstacle(without_refused=False) == "", found.sheet
    assert [row for row in found.sheet.rows if row.state != SAME] == []
    assert len(found.sheet.rows) == count
    assert found.edit is None


@pytest.mark.parametrize(("name", "variant"), VARIANTS)
def test_the_load_list(name: str, variant: str | None, tmp_path: Path) -> None:
    """Every field of every load comes back."""
    proposal = sample(name, variant).computed.opened.snapshot.proposal
    path = path_of(tmp_path, name, variant, "xlsx", "load-list")
    check_all_the_same(plan_loads(proposal, path, Answers(existing="replace")), len(proposal.loads))


@pytest.mark.parametrize("form", ["csv", "comma", "xlsx"])
@pytest.mark.parametrize(("name", "variant"), VARIANTS)
def test_the_channel_list(name: str, variant: str | None, form: str, tmp_path: Path) -> None:
    """Every placement comes back, with several channels of a load, loads on one channel, and loads without any."""
    computed = sample(name, variant).computed
    snapshot = computed.opened.snapshot
    placements = snapshot.proposal.variants[computed.variant].placements
    path = path_of(tmp_path, name, variant, form, "channel-list")
    found = plan_list(snapshot, "placements", computed.variant, path, Answers())
    check_all_the_same(found, sum(bool(own.on) for own in placements.values()))


@pytest.mark.parametrize(("name", "variant"), VARIANTS)
def test_the_parts_list(name: str, variant: str | None, tmp_path: Path) -> None:
    """Every line comes back with number, maker, order quantities and the price that was quoted."""
    computed = sample(name, variant).computed
    parts = computed.opened.snapshot.parts
    found = read_any_parts(path_of(tmp_path, name, variant, "xlsx", "parts-list"), Answers())
    assert found.problems == ()
    assert found.questions == ()
    used = {line.part for line in computed.rollup.cost.lines}
    assert {row.key for row in found.rows} == {key for key in used if key in parts}
    for row in found.rows:
        part = parts[row.key]
        said = {
            field: row.values[field] for field in ("kind", "maker", "mpn", "moq", "multiple") if field in row.values
        }
        assert said == {field: getattr(part, field) for field in said}
        check_price(part, row.values.get("breaks", ()))


def check_price(part: Part, breaks: tuple[object, ...]) -> None:
    """One price comes back, and it is one of the part's own."""
    prices = {own.price for own in part.breaks}
    assert {own.price for own in breaks} <= prices  # type: ignore[attr-defined]
    assert bool(breaks) == bool(prices)
