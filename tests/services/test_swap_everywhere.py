"""Parts that could stand in the place of one everywhere: what may do first, with what each takes off."""

from functools import cache

from bomtui.edit.edit import Refusal, apply
from bomtui.services.effects import Effect
from bomtui.services.open import open_proposal
from bomtui.services.part_choice import PartChoices, choice_effect
from bomtui.services.rollup import compute
from bomtui.services.swap_everywhere import everywhere_choices
from tests.samples.rollups import sample_path

PART = "hs24-2x10"


@cache
def _choices() -> PartChoices:
    computed = compute(open_proposal(sample_path("sweeper")), "zone")
    return everywhere_choices(computed, PART, {})


def test_only_parts_of_the_kind_are_offered_and_never_the_part_itself() -> None:
    """Every choice is a high-side switch; those for another supply class come after those that may do."""
    found = _choices()
    assert {own.part.kind for own in found.choices} == {"high_side"}
    assert PART not in {own.key for own in found.choices}
    states = [own.state for own in found.choices]
    assert states == sorted(states, key=["fits", "undecided", "rejected"].index)
    assert found.need.words == f"another part for {PART} everywhere in zone: 3 devices"


def test_taking_one_swaps_every_place_and_costs_what_it_says() -> None:
    """After the edit nothing is made of the old part, and the cost is that of the effect."""
    found = _choices()
    choice = next(own for own in found.choices if own.key == "hs24-4x22")
    before = found.before.computed
    after = apply(choice.edit, before.opened.snapshot)
    assert not isinstance(after, Refusal)
    devices = [d.part for m in after.proposal.variants["zone"].modules.values() for d in m.devices.values()]
    assert PART not in devices
    effect = choice_effect(found, choice)
    assert isinstance(effect, Effect)
    assert effect.cost_now.amount == before.rollup.cost.total.amount
    assert effect.cost_after.amount - effect.cost_now.amount == effect.cost_change


def test_loads_that_lose_their_channel_are_named() -> None:
    """A switch with one channel takes off the loads that are on the second one."""
    choice = next(own for own in _choices().choices if own.key == "hs24-1x4")
    placements = _choices().before.computed.opened.snapshot.proposal.variants["zone"].placements
    assert choice.loads_off
    for load in choice.loads_off:
        assert any(place.endswith(".2") for place in placements[load].on), load
