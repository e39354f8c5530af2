"""Parts of the catalog that would make a finding go away."""

import shutil
from pathlib import Path

import msgspec
import pytest

from bomtui.model.finding import Need
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PriceBreak
from bomtui.services.effects import Effect
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.open import open_proposal
from bomtui.services.remedies import (
    finding_of,
    findings_with_needs,
    meets,
    need_words,
    remedies_of,
    remedy_of,
    take_remedy,
)
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from bomtui.storage.catalog import open_catalog
from tests.architecture.scan import REPO

NEED = Need(kinds=("fet", "low_side"), least={"current_limit_a": 2.0}, most={"theta_ja_k_per_w": 40.0}, has=("wake",))


@pytest.fixture
def sweeper(tmp_path: Path) -> Path:
    """A copy of the sweeper."""
    return Path(shutil.copytree(REPO / "sample_projects" / "street_sweeper", tmp_path / "sweeper"))


def reviewed(sweeper: Path) -> Reviewed:
    """Its variant zone."""
    return review(compute(open_proposal(sweeper), "zone"))


@pytest.fixture
def place(tmp_path: Path) -> str:
    """A catalog with a half bridge more, like the one at ZCEN.U8, that withstands 60 V, and one of unknown voltage."""
    place = str(tmp_path / "catalog.sqlite")
    with open_catalog(place) as catalog:
        first = catalog.get("hb-6x800")
        assert first is not None
        rungs = tuple(PriceBreak(quantity=own.quantity, price=2 * own.price) for own in first.breaks)
        strong = msgspec.structs.replace(first, mpn="9-99-99", absolute_max_v=60.0, breaks=rungs)
        catalog.build({"hb-strong": strong, "hb-open": msgspec.structs.replace(strong, absolute_max_v=None)}, "edited")
    return place


@pytest.mark.parametrize(
    ("part", "is_met"),
    [
        (Part(kind="fet", current_limit_a=Parameter(min=2.0), theta_ja_k_per_w=40.0, wake="selective"), True),
        (Part(kind="ldo", current_limit_a=Parameter(min=2.0), theta_ja_k_per_w=40.0, wake="selective"), False),
        (Part(kind="fet", current_limit_a=Parameter(min=1.9, typ=5.0), theta_ja_k_per_w=40.0, wake="any"), False),
        (Part(kind="fet", current_limit_a=Parameter(typ=2.0), theta_ja_k_per_w=40.1, wake="any"), False),
        (Part(kind="fet", current_limit_a=Parameter(typ=2.0), theta_ja_k_per_w=None, wake="any"), False),
        (Part(kind="fet", theta_ja_k_per_w=40.0, wake="any"), False),
        (Part(kind="fet", current_limit_a=Parameter(typ=2.0), theta_ja_k_per_w=40.0), False),
    ],
)
def test_what_meets_a_need(part: Part, is_met: bool) -> None:
    """Only what is known to be of the kind, within both limits, and to have what it must have."""
    assert meets(part, NEED) is is_met


def test_a_part_that_helps(sweeper: Path, place: str) -> None:
    """The dearer bridge clears the finding for its price more a vehicle; what is unknown is not offered."""
    zone = reviewed(sweeper)
    finding = finding_of(zone, "voltage.dump", "ZCEN.U8")
    assert need_words(finding) == "half bridge, absolute_max >= 58 V"
    found = remedies_of(zone, finding, place)
    assert (found.meeting, found.places, found.cut) == (1, ("ZCEN.U8",), ())
    best = found.remedies[0]
    assert (best.choice.key, best.clears) == ("hb-strong", True)
    assert isinstance(best.effect, Effect)
    assert ("voltage.dump", "ZCEN.U8") in {(own.rule, own.place) for own in best.effect.cleared}
    take_remedy(sweeper, remedy_of(found, "hb-strong"), folder=sweeper.parent / "journals")
    after = reviewed(sweeper)
    assert after.computed.opened.snapshot.proposal.variants["zone"].modules["ZCEN"].devices["U8"].part == "hb-strong"
    assert finding not in after.review.findings
    with pytest.raises(UnknownNameError, match="finds nothing"):
        finding_of(after, "voltage.dump", "ZCEN.U8")


def test_a_part_that_does_not_fit(sweeper: Path, place: str) -> None:
    """It says why, comes after those that fit, and is not taken."""
    zone = reviewed(sweeper)
    found = remedies_of(zone, finding_of(zone, "clamp.energy", "E05"), place)
    assert found.remedies[0].choice.key == "ls-4x180"
    assert found.remedies[0].clears
    weak = remedy_of(found, "ls-8x700", "ZENG.U9")
    assert (weak.effect, weak.clears) == (None, False)
    before = {path.name: path.read_bytes() for path in sweeper.iterdir() if path.is_file()}
    with pytest.raises(BomtuiError, match=r"ls-8x700 does not fit at ZENG\.U9: E05: 1\.45 A on a channel for 350 mA"):
        take_remedy(sweeper, weak, folder=sweeper.parent / "journals")
    assert {path.name: path.read_bytes() for path in sweeper.iterdir() if path.is_file()} == before
    with pytest.raises(UnknownNameError, match="none of those"):
        remedy_of(found, "hb-strong")


def test_only_findings_with_a_need(sweeper: Path) -> None:
    """One that no part mends says what to do instead."""
    zone = reviewed(sweeper)
    named = {own.rule for own in findings_with_needs(zone)}
    other = next(own for own in zone.review.findings if own.rule not in named)
    with pytest.raises(UnknownNameError, match="does not say which other part would help"):
        finding_of(zone, other.rule, other.place)
