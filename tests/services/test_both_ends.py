"""The cheapest drivers and the fewest side by side, where they are not the same, and what no packing improves."""

from decimal import Decimal
from functools import cache
from pathlib import Path

import jsonschema
import msgspec

from bomtui.cli.merge_text import merge_text
from bomtui.export.schema import published_schema
from bomtui.model.part import PriceBreak
from bomtui.model.proposal import Snapshot
from bomtui.services.cheaper_chips import CheaperChips
from bomtui.services.merge import Ends, Wish, both_ends, merge
from bomtui.services.merge_artefact import merge_json
from bomtui.services.open import Opened
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute
from tests.generated import generated_snapshot
from tests.services.test_merge import reviewed, without_solver

LOADS = 8


def with_singles(*, steady: bool, price: str) -> Snapshot:
    """Eight loads on two switches of four channels, and a switch of one channel that could be used too.

    Args:
        price: Price of a switch of one channel [EUR].
        steady: Without PWM, so that everything that a packing asks is decided as it is now.
    """
    snapshot = generated_snapshot(LOADS, LOADS)
    single = msgspec.structs.replace(
        snapshot.parts["switch-0"],
        channels=1,
        breaks=(PriceBreak(quantity=1000, price=Decimal(price)),),
        pin_needs={"channel": 1},
        control_pins=1,
    )
    loads = snapshot.proposal.loads
    if steady:
        loads = {
            load_id: msgspec.structs.replace(load, pwm_frequency_hz=None, pwm_duty_ratio={})
            for load_id, load in loads.items()
        }
    proposal = msgspec.structs.replace(snapshot.proposal, loads=loads)
    return Snapshot(proposal=proposal, parts={**snapshot.parts, "single": single})


@cache
def vehicle(*, steady: bool, price: str = "0.05") -> Reviewed:
    """It, computed and reviewed."""
    return review(compute(Opened(Path("generated.toml"), with_singles(steady=steady, price=price), (), "")))


@cache
def ends() -> Ends:
    """Both ends of the steady one, by the quick packing."""
    return both_ends(vehicle(steady=True), Wish(), solver=without_solver)


def test_cheapest_and_fewest_differ() -> None:
    """Eight single switches cost less than two of four channels: both are found, and that they conflict."""
    own = ends()
    assert (own.cheapest.devices, own.fewest.devices) == ((2, 8), (2, 2))
    assert own.cheapest.after.amount < own.fewest.after.amount <= own.fewest.before.amount
    assert own.fewest.fewest == 2
    assert own.conflict


def test_both_are_written_side_by_side() -> None:
    """Text and JSON hold both, and the JSON is lawful by its schema."""
    own = ends()
    text = merge_text(vehicle(steady=True), own.cheapest, CheaperChips((), ()), own)
    rows = [line.split() for line in text.splitlines()]
    assert ["driver", "devices", "2", "8", "2"] in rows
    found = msgspec.json.decode(merge_json(vehicle(steady=True), own.cheapest, None, own))
    jsonschema.validate(found, msgspec.json.decode(published_schema("merge")))
    assert (found["aim"], found["devices_after"]) == ("both", 8)
    assert (found["fewest_end"]["devices_after"], found["fewest_end"]["conflict"]) == (2, True)


def test_where_they_agree_that_is_said() -> None:
    """In the display module of the sweeper the cheapest drivers are the fewest too."""
    own = both_ends(reviewed("sweeper", "zone"), Wish(modules=("ZHMI",)), solver=without_solver)
    assert not own.conflict
    text = merge_text(reviewed("sweeper", "zone"), own.cheapest, CheaperChips((), ()), own)
    assert "no conflict was found: the cheapest devices are the fewest too" in text


def test_a_packing_that_is_worse_than_what_is_there_is_not_offered() -> None:
    """Where only dearer drivers leave nothing undecided, what is there stays, and why is said with the money."""
    own = merge(vehicle(steady=False, price="0.15"), Wish(), solver=without_solver)
    assert own.edit is None
    assert own.after == own.before
    assert not own.proved
    (left,) = own.refused
    assert left.what == "M0"
    assert left.why.startswith("no saving: the best packing that keeps the rules, and leaves nothing undecided, costs ")
