"""What packing, other chips and merging modules offer for generated vehicles, judged by engine and rules alone.

The judge knows nothing of packing: it does the step, computes the changed vehicle from nothing, and compares.
"""

import random
from collections import Counter
from collections.abc import Iterable, Mapping
from decimal import Decimal
from pathlib import Path

import msgspec
import pytest

from bomtui.edit.edit import Edit, apply
from bomtui.model.finding import Finding
from bomtui.model.part import Part, PinGroup, PriceBreak
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Device
from bomtui.services.cheaper_chips import cheaper_chips
from bomtui.services.merge import Wish, both_ends, merge
from bomtui.services.merge_modules import ModulesWish, merge_modules
from bomtui.services.open import Opened
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from tests.generated import generated_snapshot
from tests.services.test_merge import without_solver

# A hundred vehicles: some seconds for ten of them.
pytestmark = pytest.mark.slow

Known = Counter[tuple[str, str, str, str]]
BLOCKS = range(10)


def vehicle(seed: int) -> Snapshot:
    """A vehicle of one to three modules in one zone whose loads, software, prices and volume are drawn."""
    chance = random.Random(seed)
    loads = chance.randint(4, 14)
    snapshot = generated_snapshot(loads, chance.choice((4, 5, 7, loads)))
    proposal = snapshot.proposal
    variant = proposal.variants["only"]
    modules = {
        module_id: msgspec.structs.replace(
            module,
            zone="Z0",
            devices={**module.devices, "U1": with_software(module.devices["U1"], chance)},
        )
        for module_id, module in variant.modules.items()
    }
    drawn = {
        load_id: msgspec.structs.replace(load, test_current_a=chance.choice((0.3, 0.8, 1.5, 2.5)))
        for load_id, load in proposal.loads.items()
    }
    car = msgspec.structs.replace(proposal.vehicle, volume_per_year=chance.choice((500, 4000, 12000, 60000)))
    changed = msgspec.structs.replace(
        proposal, loads=drawn, vehicle=car, variants={"only": msgspec.structs.replace(variant, modules=modules)}
    )
    return Snapshot(proposal=changed, parts={key: priced(part, chance) for key, part in with_choice(snapshot).items()})


def with_software(device: Device, chance: random.Random) -> Device:
    """A controller with its software."""
    return msgspec.structs.replace(
        device,
        flash_need_byte=chance.choice((200_000.0, 700_000.0)),
        ram_need_byte=chance.choice((20_000.0, 90_000.0)),
        core_load_ratio=chance.choice((0.1, 0.3)),
    )


def with_choice(snapshot: Snapshot) -> dict[str, Part]:
    """Parts to choose from: a smaller controller, a switch of one channel, and cases that hold several boards."""
    parts = dict(snapshot.parts)
    controller = msgspec.structs.replace(
        parts["controller"], flash_byte=2_000_000, ram_byte=400_000, core_frequency_hz=1e8
    )
    parts["controller"] = controller
    parts["controller-small"] = msgspec.structs.replace(
        controller,
        gpio_pins=60,
        pin_groups={
            "A": PinGroup(pins=40, functions=("gpio", "pwm")),
            "B": PinGroup(pins=20, functions=("gpio", "adc", "spi")),
        },
        flash_byte=512_000,
        ram_byte=64_000,
        breaks=times(controller, Decimal("0.5")),
    )
    switch = parts["switch-1"]
    parts["switch-one"] = msgspec.structs.replace(
        switch,
        channels=1,
        pin_needs={"channel": 1},
        control_pins=1,
        analog_pins=0,
        breaks=times(switch, Decimal("0.3")),
    )
    parts["case"] = msgspec.structs.replace(parts["case"], board_area_max_m2=0.06)
    return {key: msgspec.structs.replace(part, maker="Nobody", mpn=key) for key, part in parts.items()}


def priced(part: Part, chance: random.Random) -> Part:
    """A part whose prices are another share of what they were."""
    return msgspec.structs.replace(part, breaks=times(part, Decimal(chance.randint(60, 140)) / 100))


def times(part: Part, factor: Decimal) -> tuple[PriceBreak, ...]:
    """Its prices times a factor."""
    return tuple(msgspec.structs.replace(rung, price=rung.price * factor) for rung in part.breaks)


def judged(snapshot: Snapshot) -> Reviewed:
    """A vehicle computed and reviewed from nothing."""
    return review(compute(Opened(Path("generated.toml"), snapshot, (), "")))


def known(findings: Iterable[Finding], home: Mapping[str, str]) -> Known:
    """Findings by rule, module, outcome and gravity; modules that became one count as that one."""
    places = [(own, own.place.partition(".")[0]) for own in findings]
    return Counter((own.rule, home.get(head, head), own.outcome, own.severity) for own, head in places)


def check_offer(
    before: Reviewed, edit: Edit, saving: Decimal, announced: Iterable[Finding], home: Mapping[str, str]
) -> None:
    """The step saves what was said, and newly finds nothing but what was announced."""
    after_snapshot = apply(edit, before.computed.opened.snapshot)
    assert isinstance(after_snapshot, Snapshot)
    after = judged(after_snapshot)
    now, then = before.computed.rollup.cost.total, after.computed.rollup.cost.total
    assert now.amount - then.amount == saving
    new = known(after.review.findings, home) - known(before.review.findings, home)
    assert not new - known(announced, home), edit.label


@pytest.mark.parametrize("block", BLOCKS)
def test_what_packing_offers(block: int) -> None:
    """No packing is worse than what is there; both ends and every single module keep to what was said."""
    for seed in range(10 * block, 10 * block + 10):
        before = judged(vehicle(seed))
        ends = both_ends(before, Wish(), solver=without_solver)
        assert ends.cheapest.after.amount <= ends.cheapest.before.amount
        assert ends.fewest.devices[1] <= ends.fewest.devices[0]
        for merged in (ends.cheapest, ends.fewest):
            assert merged.lower_bound is None or merged.lower_bound <= merged.after.amount
            assert not merged.proved or merged.lower_bound == merged.after.amount or merged is ends.fewest
            for own in merged.opportunities:
                check_offer(before, own.edit, own.saving, own.added, {})
        standby = merge(before, Wish(aim="standby"), solver=without_solver)
        assert standby.edit is None or isinstance(apply(standby.edit, before.computed.opened.snapshot), Snapshot)


@pytest.mark.parametrize("block", BLOCKS)
def test_what_other_chips_offer(block: int) -> None:
    """Every change saves what was said, and brings nothing that was not announced."""
    for seed in range(10 * block, 10 * block + 10):
        before = judged(vehicle(seed))
        modules = tuple(before.computed.opened.snapshot.proposal.variants["only"].modules)
        for own in cheaper_chips(before, modules, "warnings", {}, lambda: True).changes:
            assert own.saving > 0
            check_offer(before, own.edit, own.saving, own.added, {})


@pytest.mark.parametrize("block", BLOCKS)
def test_what_merging_modules_offers(block: int) -> None:
    """Likewise for modules that become one, each set and all of them together."""
    for seed in range(10 * block, 10 * block + 10):
        before = judged(vehicle(seed))
        if len(before.computed.opened.snapshot.proposal.variants["only"].modules) < 2:
            continue
        merged = merge_modules(before, ModulesWish())
        for own in merged.opportunities:
            home = dict.fromkeys(own.modules, own.into)
            check_offer(before, own.edit, own.saving, own.added, home)
        if merged.together is not None:
            into = {own.modules: own.into for own in merged.opportunities}
            home = {name: into[modules] for modules in merged.together.sets for name in modules}
            check_offer(before, merged.together.edit, merged.together.saving, merged.together.added, home)
