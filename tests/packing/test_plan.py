"""A packing of a sample: its cost is the rollup's own, and engine and rules alone judge it."""

import pytest

from bomtui.edit.edit import Refusal
from bomtui.model.ids import parse_address
from bomtui.packing.check import Checked, checked
from bomtui.packing.kept import Keep
from bomtui.packing.plan import Plan, plan_of
from bomtui.packing.problem import Packing, checked_cost, counts_of
from bomtui.packing.proof import checked_bound
from bomtui.packing.solver.improve import Work, improve
from tests.packing.sample_offers import computed, offer, reviewed
from tests.samples.rollups import DEMO_VARIANTS, snapshot

ONE = ("van", "central", "MENG")


def best(vehicle: str, variant: str, module: str, keep: Keep = "warnings") -> tuple[Packing, int]:
    """The improved packing of a module and its checked bound."""
    own = offer(vehicle, variant, (module,), keep)
    assert own.start is not None
    found = improve(own.problem, own.start, Work())
    assert found.packing is not None
    return found.packing, checked_bound(own.problem, found.certificate, found.packing).cost


def done(vehicle: str, variant: str, module: str, packing: Packing, keep: Keep = "warnings") -> tuple[Plan, Checked]:
    """A packing as a step, done on a copy."""
    plan = plan_of(snapshot(vehicle), variant, offer(vehicle, variant, (module,), keep), packing, "pack")
    assert plan.edit is not None
    after = checked(computed(vehicle, variant), reviewed(vehicle, variant), plan.edit, keep)
    assert not isinstance(after, Refusal)
    return plan, after


@pytest.mark.parametrize(
    ("vehicle", "variant", "module"),
    [
        ONE,
        pytest.param("van", "distributed", "DHVC", marks=pytest.mark.slow),
        pytest.param("sweeper", "distributed", "DEXT", marks=pytest.mark.slow),
    ],
)
def test_the_saving_is_that_of_the_rollup(vehicle: str, variant: str, module: str) -> None:
    """What the problem in whole numbers says of a plan is to the last digit what the rollup says."""
    own = offer(vehicle, variant, (module,))
    packing, bound = best(vehicle, variant, module)
    assert own.start is not None
    now, then = checked_cost(own.problem, own.start), checked_cost(own.problem, packing)
    assert bound == then < now
    _, after = done(vehicle, variant, module, packing)
    assert after.against == ()
    saved = computed(vehicle, variant).result.cost.total.amount - after.total.amount
    assert saved.scaleb(4) == now - then
    drivers = computed(vehicle, variant).result.driver_devices - after.computed.result.driver_devices
    assert drivers == sum(counts_of(own.problem, own.start)) - sum(counts_of(own.problem, packing))


def test_placements_keep_what_is_said_of_them() -> None:
    """Every load is on a channel of its own, and wire, note and pin mark of a moved one stay."""
    vehicle, variant, module = ONE
    packing, _ = best(vehicle, variant, module)
    plan, after = done(vehicle, variant, module, packing)
    before = snapshot(vehicle).proposal.variants[variant].placements
    now = after.snapshot.proposal.variants[variant].placements
    assert now.keys() == before.keys()
    assert set(plan.moved) == {load_id for load_id in before if now[load_id].on != before[load_id].on}
    for load_id in plan.moved:
        assert now[load_id].circuit == before[load_id].circuit
        assert now[load_id].note == before[load_id].note
    taken = [text for placement in now.values() for text in placement.on if parse_address(text).channel]
    shared = [text for placement in before.values() for text in placement.on if parse_address(text).channel]
    assert len(taken) - len(set(taken)) == len(shared) - len(set(shared))


def test_the_variant_as_it_is_changes_nothing() -> None:
    """The start, as a plan, is no step at all."""
    vehicle, variant, module = ONE
    own = offer(vehicle, variant, (module,))
    assert own.start is not None
    assert plan_of(snapshot(vehicle), variant, own, own.start, "pack").edit is None


def test_what_stays_is_said_with_its_reason() -> None:
    """A driver that is too hot already is left as it is, and the finding says why."""
    left = {own.what: own.why for own in offer("sweeper", "zone", ("ZCEN",)).left}
    assert left["ZCEN.U1"].startswith("heat.junction: the junction of ZCEN.U1 (hs24-2x10) in TRANSIT_NIGHT")


def test_stand_ins_and_separations_are_kept() -> None:
    """Every pair of the proposal that is packed here and is apart now stays apart in every packing."""
    own = offer("van", "central", ("MBDY",))
    proposal = snapshot("van").proposal
    placements = proposal.variants["central"].placements
    number_of = {load_id: number for number, kind in enumerate(own.problem.alike) for load_id in kind.loads}
    expected = set()
    for pair in proposal.pairs.values():
        if not {pair.primary, pair.stand_in} <= number_of.keys():
            continue
        devices = [parse_address(placements[load_id].on[0]).device for load_id in (pair.primary, pair.stand_in)]
        if devices[0] != devices[1]:
            first, second = sorted((number_of[pair.primary], number_of[pair.stand_in]))
            expected.add((first, second))
    assert expected
    assert expected <= set(own.problem.apart)


@pytest.mark.slow
@pytest.mark.parametrize(("vehicle", "variant"), DEMO_VARIANTS)
@pytest.mark.parametrize("keep", ["errors", "warnings"])
def test_every_module_of_the_samples(vehicle: str, variant: str, keep: Keep) -> None:
    """No plan is worse than its start, the saving is the rollup's, and a proof is a matched bound."""
    for module in snapshot(vehicle).proposal.variants[variant].modules:
        own = offer(vehicle, variant, (module,), keep)
        if own.start is None or not own.problem.alike:
            continue
        packing, bound = best(vehicle, variant, module, keep)
        now, then = checked_cost(own.problem, own.start), checked_cost(own.problem, packing)
        assert bound <= then <= now
        if then == now:
            continue
        _, after = done(vehicle, variant, module, packing, keep)
        saved = computed(vehicle, variant).result.cost.total.amount - after.total.amount
        assert saved.scaleb(4) == now - then
