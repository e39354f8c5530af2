"""The failure walk of the sweeper's zone modules, against what was worked out by hand from its allocation table."""

import msgspec
import pytest

from bomtui.engine.failure_walk import failure_walk
from bomtui.model.failure import Cause
from bomtui.model.feed import Feed
from bomtui.model.proposal import Snapshot
from tests.samples.rollups import snapshot

# Everything that the allocation table places on ZREA.
OUTPUTS = (
    *("C03", "L09", "L10", "L11", "L12", "L13", "L14", "L15", "L16", "L17", "L21", "L24", "L25"),
    *("T05", "W05", "W07", "W08", "W09"),
)
INPUTS = ("C04", "T06", "T07", "W12", "W13", "W15")


def with_feeds() -> Snapshot:
    """The sweeper with one feed and one ground point of its own per zone module."""
    sweeper = snapshot("sweeper")
    variant = sweeper.proposal.variants["zone"]
    fed = msgspec.structs.replace(
        variant,
        feeds={f"F-{key}": Feed(ground=f"G-{key}") for key in variant.modules},
        modules={key: msgspec.structs.replace(own, feeds=(f"F-{key}",)) for key, own in variant.modules.items()},
    )
    proposal = msgspec.structs.replace(sweeper.proposal, variants={"zone": fed})
    return msgspec.structs.replace(sweeper, proposal=proposal)


@pytest.mark.parametrize("cause", [Cause("controller", "ZREA.U8"), Cause("feed", "F-ZREA")], ids=lambda own: own.name)
def test_controller_and_feed_of_the_rear_module_take_all_of_it(cause: Cause) -> None:
    """Lost are exactly these; no stand-in of the tail and stop lamps works, and the front beacon goes on working."""
    effect = failure_walk(snapshot("sweeper"), "zone").effect_of(cause)
    assert effect.outputs == OUTPUTS
    assert effect.inputs == INPUTS
    assert effect.possible_outputs == effect.possible_inputs == ()
    states = {own.primary: own.state for own in effect.stand_ins if own.primary_state == "lost"}
    assert {load: states[load] for load in ("L11", "L12", "L13")} == dict.fromkeys(("L11", "L12", "L13"), "lost")
    (beacon,) = (own for own in effect.stand_ins if own.primary == "L20")
    assert (beacon.primary_state, beacon.stand_in, beacon.state) == ("works", "L21", "lost")


def test_a_feed_behind_a_channel_falls_with_the_feed_before_it() -> None:
    """On the bench a channel of the lamp module switches the feed of the sensor module: its sensors go along."""
    walk = failure_walk(snapshot("bench"), "bench")
    sensors = ("P01", "P02", "P03", "P04", "P06")
    for cause in (Cause("device", "BLMP.U3"), Cause("controller", "BLMP.U4"), Cause("feed", "F-BLMP")):
        assert walk.effect_of(cause).inputs == sensors
    assert walk.effect_of(Cause("feed", "F-BSEN")).outputs == ()


def test_without_feeds_the_walk_says_which_modules_name_none() -> None:
    """Modules without a feed are named as such, and what loads have in common there is left open."""
    bare = with_feeds().proposal.variants["zone"]
    bare = msgspec.structs.replace(
        bare, feeds={}, modules={key: msgspec.structs.replace(own, feeds=()) for key, own in bare.modules.items()}
    )
    sweeper = snapshot("sweeper")
    sweeper = msgspec.structs.replace(
        sweeper, proposal=msgspec.structs.replace(sweeper.proposal, variants={"zone": bare})
    )
    walk = failure_walk(sweeper, "zone")
    assert walk.no_feed == ("ZCEN", "ZENG", "ZHMI", "ZREA", "ZUND")
    assert all({"feed", "ground"} <= set(own.open_kinds) for own in walk.common)
