"""FETs behind a pre-driver: chosen for a load that has its channels, added and named in one step."""

from dataclasses import dataclass

import pytest

from bomtui.edit.edits.placement import Place, TakeOff
from bomtui.model.finding import Finding
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Placement
from bomtui.services.effects import Effect
from bomtui.services.errors import UnknownNameError
from bomtui.services.part_choice import choice_effect
from bomtui.services.placing import place_options
from bomtui.services.power_stage import fets_of, staged, takes_stage
from bomtui.services.review import review
from bomtui.services.stage_choice import stage_choices
from tests.services.placing_case import computed, done, sample
from tests.services.test_placing import shipped

VARIANT = "central"
MODULE = "MENG"


@dataclass(frozen=True)
class Fan:
    """The van with its radiator fan on a pre-driver, and no FETs behind it."""

    load_id: str
    without: Snapshot

    @property
    def placement(self) -> Placement:
        """Where it is placed."""
        return self.without.proposal.variants[VARIANT].placements[self.load_id]


@pytest.fixture(scope="module")
def fan() -> Fan:
    """The fan of the van, its FETs named no more."""
    snapshot = sample("van", VARIANT).opened.snapshot
    load_id = next(key for key, load in snapshot.proposal.loads.items() if load.drive == "GDF")
    return Fan(load_id, done(staged(snapshot, VARIANT, load_id, ()), snapshot))


def missing(snapshot: Snapshot) -> list[Finding]:
    """Findings that FETs are missing."""
    found = review(computed(snapshot, VARIANT)).review.findings
    return [own for own in found if own.rule == "stage.missing"]


@pytest.mark.slow
def test_fets_are_added_and_named_in_one_step(fan: Fan) -> None:
    """The edit of a choice adds as many FETs as asked for and names them all; the finding goes with it."""
    assert [own.place for own in missing(fan.without)] == [fan.load_id]
    before = fan.without.proposal.variants[VARIANT].modules[MODULE].devices
    choices = stage_choices(computed(fan.without, VARIANT), fan.load_id, shipped(), 3)
    assert {choice.part.kind for choice in choices.choices} == {"fet"}
    assert choices.need.words.startswith(f"3 FETs for {fan.load_id} radiator fan (600 W) behind {MODULE}.")
    best = choices.choices[0]
    effect = choice_effect(choices, best)
    assert isinstance(effect, Effect)
    assert ("stage.missing", fan.load_id) in {(own.rule, own.place) for own in effect.cleared}
    after = done(best.edit, fan.without)
    assert missing(after) == []
    variant = after.proposal.variants[VARIANT]
    added = [ref for ref in variant.modules[MODULE].devices if ref not in before]
    assert len(added) == 3
    assert {variant.modules[MODULE].devices[ref].part for ref in added} == {best.key}
    now = variant.placements[fan.load_id]
    assert now.stage == tuple(f"{MODULE}.{ref}" for ref in added)
    assert (now.on, now.joined) == (fan.placement.on, fan.placement.joined)


def test_more_fets_stand_beside_those_that_are_there(fan: Fan) -> None:
    """A stage of two parts is built in two steps; one of its own FETs can be named in their place."""
    first = done(stage_choices(computed(fan.without, VARIANT), fan.load_id, shipped(), 1).choices[0].edit, fan.without)
    second = done(stage_choices(computed(first, VARIANT), fan.load_id, shipped(), 2).choices[0].edit, first)
    assert len(second.proposal.variants[VARIANT].placements[fan.load_id].stage) == 3
    refs = fets_of(second, VARIANT, fan.load_id)
    named = done(staged(second, VARIANT, fan.load_id, refs[-1:]), second)
    assert named.proposal.variants[VARIANT].placements[fan.load_id].stage == (f"{MODULE}.{refs[-1]}",)


def test_only_a_load_on_channels_of_a_pre_driver_takes_a_stage(fan: Fan) -> None:
    """Without channels, and for any other drive code, there is nothing that FETs could stand behind."""
    assert takes_stage(fan.without, VARIANT, fan.load_id)
    other = next(key for key, load in fan.without.proposal.loads.items() if load.drive == "HS")
    assert not takes_stage(fan.without, VARIANT, other)
    off = done(TakeOff(variant=VARIANT, loads=(fan.load_id,)), fan.without)
    assert not takes_stage(off, VARIANT, fan.load_id)
    with pytest.raises(UnknownNameError):
        stage_choices(computed(off, VARIANT), fan.load_id, shipped(), 2)


def test_a_pre_driver_is_offered_before_there_are_fets(fan: Fan) -> None:
    """FETs come after the channels: a pre-driver that fits otherwise is not rejected for the want of them."""
    off = done(TakeOff(variant=VARIANT, loads=(fan.load_id,)), fan.without)
    options = place_options(computed(off, VARIANT), fan.load_id, shipped(), costed=1)
    former = next(own for own in options.options if own.on == fan.placement.on)
    assert former.state == "undecided"
    assert [own.check for own in former.reasons] == ["stage"]
    assert former.reasons[0].text == (
        "not decided: it has no FETs behind it yet, FETs of a power stage have to be added"
    )
    assert isinstance(former.edit, Place)
