"""Controllers, companions and families: what saves by the rollup and breaks no rule is offered, the rest says why not.

The rows are the merge opportunities that were put into the demo vehicles on purpose; what they must come to was worked
out by hand from the parts' prices, placements and ports, and stands beside each.
"""

from decimal import Decimal
from functools import cache

import pytest

from bomtui.edit.edit import apply
from bomtui.engine.rollup import rollup
from bomtui.model.proposal import Snapshot
from bomtui.packing.blockers import Blocked
from bomtui.services.cheaper_chips import CheaperChips, ChipChange, cheaper_chips
from bomtui.storage.shipped import read_shipped_catalog
from tests.services.test_merge import reviewed

# Whole variants are computed and reviewed for every change.
pytestmark = pytest.mark.slow


@cache
def found(vehicle: str, variant: str, module: str) -> CheaperChips:
    """What is found in one module."""
    return cheaper_chips(reviewed(vehicle, variant), (module,))


def change(own: CheaperChips, about: str) -> ChipChange:
    """The one change about something."""
    (only,) = [one for one in own.changes if one.about == about]
    return only


def blocked(own: CheaperChips, what: str) -> Blocked:
    """The one entry that begins so."""
    (only,) = [one for one in own.blocked if one.what.startswith(what)]
    return only


@pytest.mark.parametrize(
    ("vehicle", "variant", "module", "about", "host", "saving"),
    [
        # lin-1 0.2436 and one placement 0.0110; sbc-body has 2 LIN ports, one line named.
        ("van", "distributed", "DBDY", "DBDY.U9", "DBDY.U7", "0.2546"),
        # The same in the other architecture, where no network names the chip.
        pytest.param("van", "central", "MBDY", "MBDY.U35", "MBDY.U33", "0.2546", marks=pytest.mark.slow),
        # can-1 0.4400 and one placement 0.0110; sbc-body has 2 CAN ports, one of them in use.
        pytest.param("sweeper", "zone", "ZCEN", "ZCEN.U14", "ZCEN.U12", "0.4510", marks=pytest.mark.slow),
    ],
)
def test_a_transceiver_beside_free_ports_goes(
    vehicle: str, variant: str, module: str, about: str, host: str, saving: str
) -> None:
    """A transceiver goes where the system-basis chip of its module has a port for its line."""
    own = change(found(vehicle, variant, module), about)
    assert (own.kind, own.saving, own.pieces) == ("companion", Decimal(saving), 1)
    assert f"{host} takes its line" in own.what
    assert own.added == ()


def test_its_line_follows_to_the_other_chip() -> None:
    """After the step the node is at the chip that takes the line, and nothing else names the one that went."""
    own = change(found("van", "distributed", "DBDY"), "DBDY.U9")
    after = apply(own.edit, reviewed("van", "distributed").computed.opened.snapshot)
    assert isinstance(after, Snapshot)
    variant = after.proposal.variants["distributed"]
    assert "U9" not in variant.modules["DBDY"].devices
    assert variant.networks["LIN-AIR"].nodes["commander"].at == "DBDY.U7"


def test_the_saving_is_that_of_the_rollup() -> None:
    """What a change is said to save is the difference of two rollups, the second one computed from nothing."""
    own = change(found("van", "distributed", "DBDY"), "DBDY.U9")
    computed = reviewed("van", "distributed").computed
    after = apply(own.edit, computed.opened.snapshot)
    assert isinstance(after, Snapshot)
    total = rollup(after, "distributed").result.cost.total.amount
    assert computed.rollup.cost.total.amount - total == own.saving


def test_a_small_memory_could_move_into_data_flash() -> None:
    """An EEPROM beside a controller with data flash saves its 0.1400 and its placement, and what it keeps is unsure."""
    own = change(found("sweeper", "zone", "ZREA"), "ZREA.U11")
    assert own.saving == Decimal("0.1510")
    assert own.unsure == (
        "what ZREA.U11 (4 kB) keeps has to find room in 128 KiB of data flash, and its writes with it",
    )


def test_a_smaller_controller_without_memory_to_spare_is_blocked_by_its_numbers() -> None:
    """1.1 MiB of software in 1 MiB of flash: what is short is said, not only that it is."""
    own = blocked(found("sweeper", "zone", "ZREA"), "ZREA.U8 mcu-144 becomes mcu-100")
    assert own.reason.startswith("reserve.memory: -10 % of the program memory of ZREA.U8 is free, 30 % is wanted")
    assert own.short["reserve.memory"] == pytest.approx(0.4)


def test_a_smaller_controller_without_the_pins_is_blocked_by_the_matching() -> None:
    """The pins are matched by the engine: which functions are short, how many they need and have."""
    own = blocked(found("van", "distributed", "DTIL"), "DTIL.U2 mcu-48 becomes mcu-24")
    assert own.reason.startswith("pins.short: short 2 CAN-capable pins (needs 2, has 0)")
    assert own.short["pins.short"] == 2


@pytest.mark.slow
def test_an_integrated_chip_with_too_few_rails_is_blocked() -> None:
    """sbc-body would take both lines of the engine module, and makes two of its three rails."""
    own = blocked(found("sweeper", "zone", "ZENG"), "ZENG.U16 can-1 goes; ZENG.U12 sbc-safe becomes sbc-body")
    assert own.reason.startswith("rail.many: rails that name ZENG.U12 (sbc-body) as their source: 3; it makes 2")


@pytest.mark.slow
def test_controllers_pooled_lose_money() -> None:
    """mcu-48 at 2.35 and mcu-100 at 4.60 at the quantities of the vehicle: one family for all is blocked, no saving."""
    computed = reviewed("sweeper", "distributed")
    own = blocked(
        cheaper_chips(computed, tuple(computed.computed.rollup.modules)), "mcu-48 becomes mcu-100 in DCOO DHVC DTIL"
    )
    # 3 x (4.60 - 2.35), both being paid at the same rung with and without them.
    assert own.reason == "no saving: costs 6.7500 EUR more"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("module", "key", "about", "saving"),
    [
        # 0.7392 - 0.3444, both at their rung of 10000 pieces: 12000 vehicles a year.
        ("DBDY", "fet40-3", "fet40-1 in DBDY", "0.3948"),
    ],
)
def test_a_cheaper_sibling_of_the_catalog_is_offered(module: str, key: str, about: str, saving: str) -> None:
    """The FET behind the reverse protection of a small box could be a cheaper one; its lower ratings are told."""
    own = change(with_catalog(module, key), about)
    assert own.saving == Decimal(saving)
    assert own.unsure == ("drain current 70 A in place of 120 A",)


@pytest.mark.slow
def test_a_cheaper_sibling_that_gets_too_hot_is_blocked() -> None:
    """The same FET in the bridge of the cooling fan would be over its junction temperature."""
    own = blocked(with_catalog("DCOO", "fet40-3"), "DCOO.Q1 DCOO.Q2 DCOO.Q3 DCOO.Q4 fet40-1 becomes fet40-3")
    assert own.reason.startswith("heat.junction: the junction of DCOO.Q2 (fet40-3) in CITY_DAY: over 175 degC")


@pytest.mark.slow
def test_a_dearer_sibling_pays_only_by_its_rung() -> None:
    """buck5-3w at 1.2432 in the place of buck5-3 at 0.9240: no rung is gained, and no money."""
    own = blocked(with_catalog("DNAV", "buck5-3w"), "DNAV.U3 buck5-3 becomes buck5-3w")
    assert own.reason == "no saving: costs 0.3192 EUR more"


def test_nobody_waiting_ends_the_search() -> None:
    """Where nobody waits any more, what was found so far is returned."""
    own = cheaper_chips(reviewed("van", "distributed"), ("DBDY",), is_wanted=lambda: False)
    assert own == CheaperChips((), ())


@cache
def with_catalog(module: str, key: str) -> CheaperChips:
    """What is found in a module of the van where a part of the catalog may be used beside its own."""
    return cheaper_chips(reviewed("van", "distributed"), (module,), parts={key: read_shipped_catalog()[0][key]})
