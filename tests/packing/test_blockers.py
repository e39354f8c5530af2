"""Why drivers do not become fewer: the rows of the demo that are blocked, with the numbers that block them."""

from functools import cache

import pytest

from bomtui.packing.blockers import NO_SAVING, Blocked, blocked
from bomtui.packing.offer import Offer, Request, offer_of
from bomtui.packing.problem import Alike, Chip, Filled, Problem, Way
from tests.packing.sample_offers import computed, reviewed
from tests.samples.rollups import snapshot


@cache
def reasons(vehicle: str, variant: str, modules: tuple[str, ...]) -> dict[str, Blocked]:
    """Every blocked pair of some modules, by what it is about."""
    request = Request(modules, "errors", with_faulty=True)
    offer = offer_of(computed(vehicle, variant), reviewed(vehicle, variant).findings, snapshot(vehicle).parts, request)
    return {own.what: own for own in blocked(offer)}


def test_one_load_switches_in_two_modules() -> None:
    """Demo G.6, row 1: of four eight-channel switches those of one zone wait for their modules, one is in another."""
    found = reasons("sweeper", "distributed", ("DAUD", "DEXT", "DNAV", "DTIL"))
    near = found["DAUD.U2 (hs24-8x220) and DNAV.U1 (hs24-8x220)"]
    assert near.reason == "they stand in two modules, DAUD in Z2 and DNAV in Z2: only together with their modules"
    far = found["DAUD.U2 (hs24-8x220) and DEXT.U7 (hs24-8x220)"]
    assert far.reason == "they stand in two modules, DAUD in Z2 and DEXT in Z3: two zones"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("variant", "module", "refs"), [("distributed", "DHVC", "U7 U8"), ("central", "MBDY", "U29 U30")]
)
def test_three_flap_chips_stay_three(variant: str, module: str, refs: str) -> None:
    """Demo G.6, row 2: a stepper takes 4 half bridges of 6, so that even the two emptiest flap chips are not one."""
    one, other = refs.split()
    own = reasons("van", variant, (module,))[f"{module}.{one} (hb-6x800) and {module}.{other} (hb-6x800)"]
    assert own.reason == "on one hb-6x800: needs 8 channels, has 6"
    assert own.short == {"channels": 2.0}


def made(apart: tuple[tuple[int, int], ...] = (), heat: int = 1, price: int = 10) -> Offer:
    """Two chips of one load each that might be one."""
    rooms = (2, 3_000_000)
    ways = (Way(0, (1, heat), (1, heat)), Way(1, (1, heat), (1, heat)))
    chips = (Chip("a", 0, 0, rooms, rooms, 2), Chip("b", 0, 1, rooms, rooms, 2))
    problem = Problem(
        ("M",),
        chips,
        (Alike(("L1",), 0, ways), Alike(("L2",), 0, ways)),
        apart,
        ((0, price, 20), (0, 30, 60)),
    )
    now = (Filled(0, ((0, 0),)), Filled(0, ((1, 0),)))
    names = (("channels", "heat in ON"),) * 2
    return Offer(
        problem, ("M",), now, now, ("M.U1", "M.U2"), {"M": "Z1"}, {"M": ("U1", "U2")}, (), (), (), (), {}, names, "EUR"
    )


@pytest.mark.parametrize(
    ("offer", "reason", "short"),
    [
        pytest.param(made(((0, 1),)), "on one a: L1 and L2 must stay apart", {"apart": 1.0}, id="apart"),
        pytest.param(
            made(heat=1_600_000),
            "on one a: heat in ON 3.2 W over 3 W, 200 mW too much",
            {"heat in ON": 0.2},
            id="heat",
        ),
        pytest.param(made(price=20), "on one a: no saving: it costs 0.0000 EUR more", {NO_SAVING: 0.0}, id="money"),
    ],
)
def test_the_reason_is_the_fewest_grounds_with_numbers(offer: Offer, reason: str, short: dict[str, float]) -> None:
    """One ground, its numbers, and nothing else."""
    (own,) = blocked(offer)
    assert own.what == "M.U1 (a) and M.U2 (a)"
    assert own.reason == reason
    assert own.short == pytest.approx(short)


def test_what_could_be_one_is_not_blocked() -> None:
    """Where one chip takes both and saves money nothing speaks against it."""
    assert blocked(made()) == ()
