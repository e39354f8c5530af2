"""Hints: guesses by counting, with their numbers, about the modules that a step has touched."""

import msgspec
import pytest

from bomtui.edit.edit import apply
from bomtui.edit.edits.device import AddDevice, SwapDevice
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.proposal import Snapshot
from bomtui.packing.hints import hints
from tests.packing.sample_offers import computed


def words(own: Computed, module: str) -> list[str]:
    """The hints about a module."""
    found = hints(own.snapshot, own.result.variant, own.result.modules, own.serving, (module,))
    return [one.words for one in found]


@pytest.mark.parametrize(
    ("vehicle", "variant", "module", "said"),
    [
        ("sweeper", "zone", "ZCEN", ["ZCEN.U14 can-1 could go, ZCEN.U12 has 1 CAN port free"]),
        ("van", "distributed", "DBDY", ["DBDY.U9 lin-1 could go, DBDY.U7 has 1 LIN port free"]),
        # Eight channels and one load beside nothing else: no other chip of the module has a channel.
        ("sweeper", "distributed", "DAUD", []),
    ],
)
def test_a_transceiver_beside_free_ports_is_hinted_at(vehicle: str, variant: str, module: str, said: list[str]) -> None:
    """What the demo holds on purpose is hinted at with its numbers, and nothing else is."""
    assert words(computed(vehicle, variant), module) == said


def test_a_chip_without_load_and_one_that_another_has_room_for_are_hinted_at() -> None:
    """A new chip without load is one to leave out; a larger one beside it would take the loads of a smaller one."""
    before = computed("sweeper", "zone")
    added = apply(AddDevice(variant="zone", module_id="ZUND", part="hs24-4x50", ref="U90"), before.snapshot)
    assert isinstance(added, Snapshot)
    assert "ZUND.U90 hs24-4x50 carries no load" in words(rollup(added, "zone", before), "ZUND")
    swap = SwapDevice(variant="zone", module_id="ZUND", ref="U3", part="hs24-8x220")
    swapped = apply(swap, before.snapshot)
    assert isinstance(swapped, Snapshot)
    after = rollup(swapped, "zone", before)
    used = {own.ref: own.channels_used for own in after.result.modules["ZUND"].devices}
    assert (used["U3"], used["U4"]) == (4, 1)
    assert words(after, "ZUND") == ["ZUND.U4 hs24-8x220 could go, ZUND.U3 has 4 of 8 channels free"]


def test_what_is_not_known_is_no_hint() -> None:
    """A chip of which nobody knows what a channel carries is no place to move loads to."""
    before = computed("sweeper", "zone")
    parts = {
        key: msgspec.structs.replace(part, current_all_a=None, ports=None, can_ports=None, lin_ports=None)
        for key, part in before.snapshot.parts.items()
    }
    unknown = msgspec.structs.replace(before.snapshot, parts=parts)
    own = rollup(unknown, "zone")
    assert [words(own, module) for module in own.result.modules] == [[], [], [], [], []]
