"""What goes when modules become one: named by hand for modules of the samples."""

from bomtui.packing.boxes.union import Way, controllers_of, main_controller, union_edit, ways_of
from tests.samples.rollups import snapshot

SWEEPER = snapshot("sweeper")


def _going(vehicle: str, into: str, other: str, *, is_one: bool = True, shares: bool = True) -> dict[str, str]:
    way = Way(into, (other,), is_one, shares)
    return union_edit(snapshot(vehicle), "distributed", way).going


def test_controller_bus_driver_supply_and_protection_go() -> None:
    """DCOO has mcu-48 (U4), sbc-can (U5) on the bus that DENG is on too, rev-1 (U6) and fet60-2 (Q1)."""
    # DENG: mcu-engine U9, sbc-safe U10 on the same bus, rev-1 U13, fet60-2 Q1.
    assert _going("sweeper", "DENG", "DCOO") == {
        "DCOO.U4": "U9", "DCOO.U5": "U10", "DCOO.U6": "U13", "DCOO.Q1": "Q1",
    }  # fmt: skip


def test_what_is_not_shared_stays() -> None:
    """Each with its supply: the controller alone goes; each with its controller: protection alone goes."""
    assert set(_going("sweeper", "DENG", "DCOO", shares=False)) == {"DCOO.U4"}
    assert _going("sweeper", "DENG", "DCOO", is_one=False) == {"DCOO.U6": "U13", "DCOO.Q1": "Q1"}
    assert _going("sweeper", "DENG", "DCOO", is_one=False, shares=False) == {}


def test_ways_of_a_set_are_each_module_as_home_with_and_without_sharing() -> None:
    """Three modules: three homes, one controller or each its own, supplies shared or not."""
    ways = ways_of(("C", "A", "B"))
    assert len(ways) == len(set(ways)) == 12
    assert ways[0] == Way("A", ("B", "C"), is_one=True, shares=True)
    assert ways[0].modules == ("A", "B", "C")


def test_the_main_controller_commands_most() -> None:
    """DNAV and DCLU have a controller each; a module without one has no name for it."""
    modules = SWEEPER.proposal.variants["distributed"].modules
    assert {key: len(controllers_of(own, SWEEPER.parts)) for key, own in modules.items()} == dict.fromkeys(modules, 1)
    assert main_controller(modules["DENG"], SWEEPER.parts) == "U9"
    assert main_controller(modules["DENG"], {}) == ""
