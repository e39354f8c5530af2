"""Frozen parts beside the proposal: exact prices, part numbers as text, and every fault with its line."""

from decimal import Decimal
from pathlib import Path

import pytest

from bomtui.model.parameter import Parameter
from bomtui.model.part import Part, PriceBreak, SupplyNeed
from bomtui.model.proposal import Info, Proposal
from bomtui.model.vehicle import Vehicle
from bomtui.storage.frozen_parts import content_hash, parts_path, parts_text, read_parts

PART = Part(
    kind="high_side",
    maker="Ostrin",
    mpn="0710370001",
    currency="EUR",
    breaks=(
        PriceBreak(quantity=500, price=Decimal("1.2328")),
        PriceBreak(quantity=1000, price=Decimal("0.920")),
    ),
    rds_on_ohm=Parameter(typ=0.05, max=0.06),
    supplies={"vdd": SupplyNeed(voltage_v=5.0, current_a=Parameter(typ=0.004))},
)

TEXT = """\
# bomtui frozen parts
format = 1

[parts.hs24-4x50]
kind = "high_side"
maker = "Ostrin"
mpn = "0710370001"
currency = "EUR"
breaks = ["500: 1.2328", "1000: 0.920"]
rds_on.typ = "50 mohm"
rds_on.max = "60 mohm"

[parts.hs24-4x50.supplies.vdd]
voltage = "5 V"
current.typ = "4 mA"
"""

PROPOSAL = Proposal(proposal=Info(name="x"), vehicle=Vehicle(supply="24 V"))


def test_the_layout() -> None:
    """A part is one table with dotted parameters, exact price texts and its supplies below it."""
    assert parts_text({"hs24-4x50": PART}) == TEXT


def test_parts_read_back(tmp_path: Path) -> None:
    """Leading zeros of a part number and trailing zeros of a price survive."""
    path = tmp_path / "p.parts.toml"
    path.write_text(TEXT, encoding="utf-8")
    parts, problems = read_parts(path)
    assert problems == ()
    assert parts == {"hs24-4x50": PART}
    assert str(parts["hs24-4x50"].breaks[1].price) == "0.920"


@pytest.mark.parametrize(
    ("proposal", "parts"),
    [("a/van.toml", "a/van.parts.toml"), ("van.2.toml", "van.2.parts.toml"), ("van", "van.parts.toml")],
)
def test_the_file_stands_beside_the_proposal(proposal: str, parts: str) -> None:
    """The name is that of the proposal with another ending."""
    assert parts_path(Path(proposal)) == Path(parts)


def test_a_missing_file_holds_no_parts(tmp_path: Path) -> None:
    """No file is no fault of a file: what is missing shows where a figure needs it."""
    assert read_parts(tmp_path / "none.parts.toml") == ({}, ())


def test_faults_are_listed_and_the_rest_is_kept(tmp_path: Path) -> None:
    """A faulty price ladder leaves the price unknown and the rest as it is; a part without a kind is left out."""
    path = tmp_path / "p.parts.toml"
    faulty = TEXT.replace('"500: 1.2328"', '"500: 1,2,3"').replace('"4 mA"', '"4 mV"') + '\n[parts.x]\nmpn = "1"\n'
    path.write_text(faulty, encoding="utf-8")
    parts, problems = read_parts(path)
    assert [(problem.line, problem.field) for problem in problems] == [
        (9, "parts.hs24-4x50.breaks"),
        (15, "parts.hs24-4x50.supplies.vdd.current.typ"),
        (17, "parts.x"),
    ]
    assert set(parts) == {"hs24-4x50"}
    assert parts["hs24-4x50"].breaks == ()
    assert parts["hs24-4x50"].rds_on_ohm == PART.rds_on_ohm
    assert parts["hs24-4x50"].supplies["vdd"].current_a == Parameter()


@pytest.mark.parametrize("content", [b"", b"\0", b"[parts", b"[parts.x]\nkind = 'fet'", b"format = 2"])
def test_an_unreadable_file_is_one_sentence(tmp_path: Path, content: bytes) -> None:
    """Broken content gives no part and one problem."""
    path = tmp_path / "p.parts.toml"
    path.write_bytes(content)
    parts, problems = read_parts(path)
    assert parts == {}
    assert len(problems) == 1


def test_the_content_hash_tells_contents_apart() -> None:
    """The hash is 16 hexadecimal digits, the same for the same content, another for any other."""
    first = content_hash(PROPOSAL, {"a": PART})
    assert len(first) == 16
    assert set(first) <= set("0123456789abcdef")
    assert content_hash(PROPOSAL, {"a": PART}) == first
    others = {
        content_hash(PROPOSAL, {}),
        content_hash(PROPOSAL, {"b": PART}),
        content_hash(Proposal(proposal=Info(name="y"), vehicle=Vehicle(supply="24 V")), {"a": PART}),
    }
    assert len(others | {first}) == 4
