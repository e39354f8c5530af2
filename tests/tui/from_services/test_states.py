"""States that the samples do not have: runaway, limits that are kept, unknown terms, loads that nobody serves."""

from dataclasses import replace
from math import inf

import msgspec
import pytest

from bomtui.model.bound import Range, Value
from bomtui.model.rollup import Figure, Rollup
from bomtui.services.explain import named_figures
from bomtui.services.open import open_proposal
from bomtui.services.rollup import compute
from bomtui.services.vehicle_totals import Held, ModulesInStandby, ParkedCold, SupplyInMode
from bomtui.tui.from_services.details import DetailsOf
from bomtui.tui.from_services.figure_text import Named, by_place, junction_figure
from bomtui.tui.from_services.findings import OpenFindings
from bomtui.tui.from_services.meters import parking_meter, standby_meter, supply_meter
from bomtui.tui.from_services.names import names_of
from bomtui.tui.from_services.places import Places
from tests.tui.from_services.real import SWEEPER

SEVEN = frozenset("abcdefg")
DAY_S = 86400.0


@pytest.mark.parametrize(
    ("typ", "largest", "alternator_a", "held", "shown"),
    [
        (10.0, 20.0, 120.0, "within", ("10 typ 20 max A", "of 120 A in M", "ok", "within limit")),
        (10.0, 20.0, None, "", ("10 typ 20 max A", "in M", "", "")),
        (
            Range(10.0, 15.0, SEVEN), Range(0.0, 20.0, SEVEN), 120.0, "within",
            ("10..15 typ <=20 max A", "of 120 A in M", "unknown", "within limit, 7 unknown"),
        ),
        (
            Range(10.0, inf, SEVEN), Range(20.0, inf, SEVEN), 120.0, "undecided",
            (">=10 typ >=20 max A", "of 120 A in M", "unknown", "7 unknown"),
        ),
        (
            Range(1.0, inf, SEVEN), Range(2.0, inf, SEVEN), None, "",
            (">=1 typ >=2 max A", "in M", "unknown", "7 unknown"),
        ),
        (None, None, 120.0, "undecided", ("? typ ? max A", "of 120 A in M", "unknown", "1 unknown")),
    ],
)  # fmt: skip
def test_a_supply_with_unknown_terms_never_bears_the_sign_of_a_pass(
    typ: Value, largest: Value, alternator_a: float | None, held: Held, shown: tuple[str, str, str, str]
) -> None:
    """Within its limit is said with a sign of doubt as soon as anything in it is unknown."""
    meter = supply_meter(SupplyInMode("M", Figure(typ=typ, max=largest), alternator_a, held))
    assert (meter.value, meter.limit, meter.mark, meter.word) == shown


@pytest.mark.parametrize(
    ("modules", "figure", "mark", "word"),
    [
        (ModulesInStandby(1e-4, 0, 0), Figure(typ=1e-4, max=2e-4), "ok", "within limit"),
        (ModulesInStandby(1e-4, 1, 0), Figure(typ=1e-4, max=2e-4), "check", "1 module over"),
        (ModulesInStandby(1e-4, 2, 1), Figure(typ=1e-4, max=Range(1e-4, inf, SEVEN)), "check",
         "2 modules over, 7 unknown"),
        (ModulesInStandby(1e-4, 0, 1), Figure(typ=1e-4, max=Range(1e-4, inf, SEVEN)), "unknown", "7 unknown"),
        (ModulesInStandby(1e-4, 0, 1), Figure(typ=1e-4, max=1e-4), "unknown", "not decided"),
    ],
)  # fmt: skip
def test_the_standby_of_modules_is_held_against_what_a_module_may_draw(
    modules: ModulesInStandby, figure: Figure, mark: str, word: str
) -> None:
    """Modules over the limit are counted; nothing is called within while anything of it is unknown."""
    meter = standby_meter(figure, modules)
    assert (meter.limit, meter.mark, meter.word) == ("limit 100 uA a module", mark, word)


@pytest.mark.parametrize(
    ("lasts_s", "days", "is_short", "value", "mark", "word"),
    [
        (50 * DAY_S, Figure(typ=90.0, max=80.0), False, "90 typ 80 worst 50 cold", "ok", "long enough"),
        (40 * DAY_S, Figure(typ=90.0, max=60.0), True, "90 typ 60 worst 40 cold", "over", "too short"),
        (
            Range(0.0, 50 * DAY_S, SEVEN), Figure(typ=90.0, max=Range(0.0, 80.0, SEVEN)), None,
            "90 typ <=80 worst <=50 cold", "unknown", "7 unknown",
        ),
        (None, Figure(typ=None, max=None), None, "? typ ? worst ? cold", "unknown", "1 unknown"),
    ],
)  # fmt: skip
def test_the_parking_time_is_held_against_what_is_wanted_in_the_cold(
    lasts_s: Value, days: Figure, is_short: bool | None, value: str, mark: str, word: str
) -> None:
    """Typical, worst and cold days stand side by side; what is wanted is wanted in the cold."""
    meter = parking_meter(days, ParkedCold(lasts_s, 42 * DAY_S, is_short))
    assert (meter.value, meter.limit, meter.mark, meter.word) == (value, "of 42 days", mark, word)


def named(value: Value) -> Named:
    """A junction temperature."""
    return Named("Z.U1:junction_degc@M/max", "junction_degc", "M", "max", value)


def test_a_runaway_has_no_number() -> None:
    """Where heat outgrows cooling no temperature is shown, whatever the part allows."""
    for limit_degc in (150.0, None):
        figure = junction_figure(named(None), limit_degc, runaway=True)
        assert (figure.text, figure.mark, figure.word) == ("runaway", "over", "no temperature holds")


@pytest.mark.parametrize(
    ("value", "limit_degc", "text", "mark"),
    [
        (118.2, 150.0, "118.2 degC", ""),
        (246.5, 150.0, "over 150 degC (model 246.5 degC)", "over"),
        (246.5, None, "246.5 degC", ""),
        (Range(80.0, inf, SEVEN), 150.0, ">= 80 degC  7 unknown", "unknown"),
        (None, 150.0, "unknown", "unknown"),
    ],
)
def test_a_junction_is_over_only_where_that_is_sure(
    value: Value, limit_degc: float | None, text: str, mark: str
) -> None:
    """The limit is put first where the part gives one and the temperature is surely above it."""
    figure = junction_figure(named(value), limit_degc, runaway=False)
    assert (figure.text, figure.mark) == (text, mark)


def running_away(rollup: Rollup) -> Rollup:
    """The rollup with the first device of ZREA running away in every mode."""
    module = rollup.modules["ZREA"]
    first, *rest = module.devices
    modes = tuple(msgspec.structs.replace(mode, runaway=True) for mode in first.modes)
    devices = (msgspec.structs.replace(first, modes=modes), *rest)
    changed = msgspec.structs.replace(module, devices=devices)
    return msgspec.structs.replace(rollup, modules={**rollup.modules, "ZREA": changed})


def test_details_and_line_of_a_device_that_runs_away_say_so() -> None:
    """The state of the mode reaches the figure of the mode and the line of the device."""
    computed = compute(open_proposal(SWEEPER), "zone")
    snapshot, rollup = computed.opened.snapshot, running_away(computed.rollup)
    names = names_of(snapshot, "zone", rollup)
    ref = rollup.modules["ZREA"].devices[0].ref
    details = DetailsOf(
        names, rollup, by_place(named_figures(replace(computed.memo, result=rollup))), "", OpenFindings()
    )(f"ZREA.{ref}")
    assert {figure.text for figure in details.figures if figure.title.startswith("junction, ")} == {"runaway"}
    rear = next(place for place in Places(names, rollup, OpenFindings(), "").modules() if place.address == "ZREA")
    device = next(place for place in rear.children if place.address == f"ZREA.{ref}")
    assert (device.mark, device.word) == ("over", "over Tj max")


def test_a_load_that_nobody_serves_is_marked_without_any_finding() -> None:
    """That no module serves a load is shown whether a rule speaks of it or not."""
    computed = compute(open_proposal(SWEEPER), "zone")
    rollup = msgspec.structs.replace(computed.rollup, unplaced=("L24",))
    names = names_of(computed.opened.snapshot, "zone", rollup)
    loose = Places(names, rollup, OpenFindings(), "").modules()[-1]
    assert (loose.mark, loose.word) == ("check", "not served")
