"""The canonical text of a proposal: its layout, its strings, and what it does not hold."""

import tomllib
from decimal import Decimal

import pytest
from hypothesis import given, settings

from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.proposal import Info, Proposal
from bomtui.model.settings import DriveHabit, Heat, Rates, Settings
from bomtui.model.variant import Amount, Device, Item, Module, Placement, Rail, Variant
from bomtui.model.vehicle import Mode, Subsystem, Vehicle, Zone
from bomtui.storage.proposal.write import proposal_text
from bomtui.storage.toml_text import toml_string
from tests.strategies import proposals, texts

SMALL = Proposal(
    proposal=Info(name="Sweeper"),
    vehicle=Vehicle(supply="24 V"),
    zones={"Z10": Zone(), "Z2": Zone(ambient_degc=-40.0, distance_m={"Z10": 2.4})},
    modes={"RUN": Mode(supply_nominal_v=28.0)},
    subsystems={"EXT": Subsystem()},
    loads={"L1": Load(subsystem="EXT", test_current_a=0.0, time_share_ratio={"RUN": 0.3})},
    settings=Settings(
        rates=Rates(placement=Money(amount=Decimal("0.0110"), currency="EUR")), drives={"HS": DriveHabit(channels=2)}
    ),
    variants={
        "zone": Variant(
            modules={
                "ZREA": Module(
                    keep_alive=True,
                    rails={"V5": Rail(voltage_v=5.0, source="U1")},
                    devices={"U10": Device(part="a"), "U1": Device(part="b", supply={"vin": "battery"})},
                    items={"board-4": Item(quantity=Amount(quantity=Decimal("1.80"), unit="dm2"))},
                )
            },
            placements={"L1": Placement(on=("ZREA.U10.1",), pinned=True)},
        )
    },
)

SMALL_TEXT = """\
# bomtui proposal
format = 1

[proposal]
name = "Sweeper"

[vehicle]
supply = "24 V"

[zones.Z2]
ambient = "-40 degC"
distance.Z10 = "2.4 m"

[zones.Z10]

[modes.RUN]
supply_nominal = "28 V"

[subsystems.EXT]

[loads.L1]
subsystem = "EXT"
test_current = "0 A"
time_share.RUN = "30 %"

[settings.rates]
placement = "0.0110 EUR"

[settings.drives.HS]
channels = "2"

[variants.zone]

[variants.zone.modules.ZREA]
keep_alive = true

[variants.zone.modules.ZREA.rails.V5]
voltage = "5 V"
source = "U1"

[variants.zone.modules.ZREA.devices.U1]
part = "b"
supply.vin = "battery"

[variants.zone.modules.ZREA.devices.U10]
part = "a"

[variants.zone.modules.ZREA.items.board-4]
quantity = "1.80 dm2"

[variants.zone.placements.L1]
on = ["ZREA.U10.1"]
pinned = true
"""


def test_the_layout() -> None:
    """Tables in natural order of ids, one field a line, defaults left out, zero written, exact digits kept."""
    assert proposal_text(SMALL) == SMALL_TEXT


def test_comments_follow_the_first_line() -> None:
    """A leading comment stands below the program's own line; what is no comment yet becomes one."""
    text = proposal_text(SMALL, "# mine\n\nsecond\r\x07")
    assert text.startswith("# bomtui proposal\n# mine\n\n# second\n\nformat = 1\n\n[proposal]\n")


@given(texts())
def test_any_text_is_one_line_that_reads_back(text: str) -> None:
    """A string is written on one line, shows nothing that acts or hides, and reads back letter by letter."""
    written = toml_string(text)
    assert written.isprintable()
    assert tomllib.loads(f"a = {written}")["a"] == text


def test_half_a_character_does_not_keep_a_proposal_from_being_saved() -> None:
    """A lone surrogate, which no file can hold, is written as the replacement character."""
    assert toml_string("a\ud800b") == '"a\N{REPLACEMENT CHARACTER}b"'


@pytest.mark.slow
@given(proposals())
@settings(max_examples=30)
def test_the_text_is_made_for_merging(proposal: Proposal) -> None:
    """LF line ends, no trailing space, one blank line between tables, no table twice or mixed with dotted keys."""
    text = proposal_text(proposal)
    assert "\r" not in text
    assert "\n\n\n" not in text
    assert text.endswith("\n")
    assert not any(line != line.rstrip() for line in text.split("\n"))
    headers = [line for line in text.split("\n") if line.startswith("[")]
    assert len(headers) == len(set(headers))
    assert tomllib.loads(text)["format"] == 1


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_is_not_written(value: float) -> None:
    """NaN and infinity never reach a file."""
    broken = Proposal(
        proposal=Info(name="x"), vehicle=Vehicle(supply="24 V"), settings=Settings(heat=Heat(case_rise_k=value))
    )
    with pytest.raises(ValueError, match="finite"):
        proposal_text(broken)


def test_ten_thousand_loads_are_written_once_each() -> None:
    """A large list is written completely and in natural order."""
    loads = {f"L{number}": Load(subsystem="S", test_current_a=number / 1000) for number in range(10_000, 0, -1)}
    text = proposal_text(
        Proposal(proposal=Info(name="x"), vehicle=Vehicle(supply="24 V"), subsystems={"S": Subsystem()}, loads=loads)
    )
    headers = [line for line in text.split("\n") if line.startswith("[loads.")]
    assert headers == [f"[loads.L{number}]" for number in range(1, 10_001)]
