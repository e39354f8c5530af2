"""Whether a part breaks what the customer asks of parts."""

import pytest

from bomtui.engine.constraints import Breach, breaches, in_package_family, is_used
from bomtui.model.constraints import Constraints
from bomtui.model.part import GRADES, Part

ALL = Constraints(
    forbidden=("old-mcu",), approved_makers=("Maker A", "Maker B"), minimum_grade="G1", refused_packages=("BGA",)
)
GOOD = Part(kind="controller", maker="Maker A", mpn="0001", grade="G1", package="QFP48")


def test_a_part_that_breaks_nothing() -> None:
    """A part of an approved maker, of the grade asked and in another package breaks no constraint."""
    assert breaches("mcu", GOOD, ALL, {"mcu": GOOD}) == ()


def test_everything_that_a_part_breaks_is_said_at_once() -> None:
    """A forbidden part of another maker, a lower grade and a refused package breaks four constraints."""
    part = Part(kind="controller", maker="Maker C", grade="G2", package="LBGA-100")
    assert breaches("old-mcu", part, ALL, {}) == (
        Breach("forbidden", "old-mcu", "not old-mcu"),
        Breach("maker", "Maker C", "Maker A or Maker B"),
        Breach("grade", "G2", "G1"),
        Breach("package", "LBGA-100", "no BGA"),
    )


@pytest.mark.parametrize("part", [None, Part(kind="controller")])
def test_what_is_unknown_is_undecided(part: Part | None) -> None:
    """Of a part without data, or without these fields, maker, grade and package are undecided and never passed."""
    assert breaches("mcu", part, ALL, {}) == (
        Breach("maker", None, "Maker A or Maker B", certain=False),
        Breach("grade", None, "G1", certain=False),
        Breach("package", None, "no BGA", certain=False),
    )


@pytest.mark.parametrize("part", [None, Part(kind="controller"), GOOD])
def test_nothing_is_asked(part: Part | None) -> None:
    """Empty constraints are broken by no part, whatever is known of it; blank entries ask for nothing."""
    blank = Constraints(forbidden=("",), approved_makers=(" ",), refused_packages=("",))
    assert breaches("mcu", part, Constraints(), {}) == ()
    assert breaches("mcu", part, blank, {}) == ()


@pytest.mark.parametrize("lowest", GRADES)
@pytest.mark.parametrize("grade", GRADES)
def test_grades_are_ordered(lowest: str, grade: str) -> None:
    """G0 is the best grade and G3 the lowest, as AEC-Q100 numbers them; the grade asked is good enough."""
    part = Part(kind="controller", grade=grade)
    found = breaches("mcu", part, Constraints(minimum_grade=lowest), {})
    assert found == (() if int(grade[1]) <= int(lowest[1]) else (Breach("grade", grade, lowest),))


@pytest.mark.parametrize(
    ("package", "family", "belongs"),
    [
        ("BGA121", "BGA", True),
        ("LBGA-100", "BGA", True),
        ("fcbga", "BGA", True),
        ("BGA 324", "bga", True),
        ("SO8P", "SO", True),
        ("SOT3", "SO", False),
        ("TSSOP16", "SO", False),
        ("QFP100", "BGA", False),
        ("MBGAX-4, LBGA_4", "BGA", True),
        ("QFP100", "", False),
        ("PDFN5x6", "N5", False),
        ("PDFN5.6", "N5", True),
        ("Q.FN8", "Q?FN", False),
    ],
)
def test_package_families(package: str, family: str, belongs: bool) -> None:
    """A family is found by its letters wherever they stand, unless another letter follows; no sign is a pattern."""
    assert in_package_family(package, family) is belongs


@pytest.mark.parametrize("kind", ["connector", "board", "housing"])
def test_what_comes_in_no_package(kind: str) -> None:
    """A board, connector or housing without a package is no gap; one that names a refused one is a breach."""
    asked = Constraints(refused_packages=("BGA",))
    assert breaches("x", Part(kind=kind), asked, {}) == ()
    assert breaches("x", Part(kind=kind, package="BGA9"), asked, {}) == (Breach("package", "BGA9", "no BGA"),)


def test_one_part_under_two_keys() -> None:
    """The part number of the same maker is the same part; of another maker it is not; without a maker none can tell."""
    old = Part(kind="controller", maker="MAKER a", mpn="0001")
    nameless = Part(kind="controller", mpn="0001")
    other = Part(kind="controller", maker="Maker B", mpn="0001")
    asked = Constraints(forbidden=("old-mcu",))
    assert breaches("mcu", GOOD, asked, {"old-mcu": old}) == (Breach("forbidden", "mcu", "not old-mcu"),)
    assert breaches("mcu", GOOD, asked, {"old-mcu": other}) == ()
    assert breaches("mcu", GOOD, asked, {"old-mcu": nameless}) == (
        Breach("forbidden", "mcu", "not old-mcu", certain=False),
    )


def test_a_certain_ban_outweighs_an_uncertain_one() -> None:
    """Of two forbidden parts, one of which it is and one of which it may be, the certain one is named."""
    parts = {"maybe": Part(kind="controller", mpn="0001"), "mcu": GOOD}
    found = breaches("mcu", GOOD, Constraints(forbidden=("maybe", "mcu")), parts)
    assert found == (Breach("forbidden", "mcu", "not mcu"),)


def test_kept_parts() -> None:
    """A kept part is used by its key or by maker and part number; parts without a number are told by their keys."""
    parts = {"mcu": GOOD, "same": GOOD, "maybe": Part(kind="controller", mpn="0001"), "ldo": Part(kind="ldo")}
    assert is_used("mcu", ("ldo", "mcu"), parts) is True
    assert is_used("mcu", ("ldo", "same"), parts) is True
    assert is_used("mcu", ("ldo", "maybe"), parts) is None
    assert is_used("mcu", ("maybe", "same"), parts) is True
    assert is_used("mcu", ("ldo",), parts) is False
    assert is_used("mcu", (), parts) is False
