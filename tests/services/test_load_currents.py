"""Currents of single loads: the terms of the sums that modules and vehicle show."""

from pathlib import Path

import pytest

from bomtui.model.bound import Value, ends
from bomtui.services.explain import UnknownFigureError, explanation_text, named_figures, recorded
from bomtui.services.load_currents import current_of, load_figures, mean_load_currents
from bomtui.services.open import open_proposal
from bomtui.services.rollup import compute

SAMPLES = Path(__file__).parents[2] / "sample_projects"
VEHICLES = pytest.mark.parametrize(("name", "variant"), [("street_sweeper", "zone"), ("parcel_van", "central")])


def number(value: Value) -> float:
    """An exact figure."""
    assert isinstance(value, float)
    return value


@VEHICLES
def test_the_loads_of_a_module_add_up_to_its_current(name: str, variant: str) -> None:
    """In every mode the mean currents of the loads are the terms of module and vehicle, at both corners."""
    computed = compute(open_proposal(SAMPLES / name), variant)
    proposal = computed.opened.snapshot.proposal
    for mode in computed.rollup.modes:
        currents = mean_load_currents(proposal, mode.mode, proposal.loads)
        assert set(currents) == set(proposal.loads)
        assert number(current_of(currents, currents)) == pytest.approx(number(mode.loads_at_mode_voltage_a.typ))
        largest = sum(number(current.max) for current in currents.values())
        assert largest == pytest.approx(number(mode.loads_at_mode_voltage_a.max))
        for module in computed.rollup.modules.values():
            own = next(own for own in module.modes if own.mode == mode.mode)
            assert number(current_of(currents, module.loads)) == pytest.approx(number(own.loads_at_mode_voltage_a.typ))


@VEHICLES
def test_named_currents_are_those_of_the_sheet(name: str, variant: str) -> None:
    """The figure that explains a load is the one that its line shows; sleeping electronics have none."""
    proposal = open_proposal(SAMPLES / name).snapshot.proposal
    figures = load_figures(proposal)
    awake = {mode for mode, data in proposal.modes.items() if data.electronics == "awake"}
    assert {figure.partition("@")[2].partition("/")[0] for figure in figures} == awake
    for mode in awake:
        for load_id, current in mean_load_currents(proposal, mode, proposal.loads).items():
            assert figures[f"{load_id}:mean_current_a@{mode}/typ"] == current.typ
            assert figures[f"{load_id}:mean_current_a@{mode}/max"] == current.max
            low, _ = ends(number(figures[f"{load_id}:on_current_a@{mode}/max"]))
            assert low >= number(current.max)


def test_no_load_at_all_draws_nothing() -> None:
    """The current of nobody is exactly zero."""
    assert current_of({}, ()) == 0.0


@VEHICLES
@pytest.mark.slow
def test_a_recording_knows_every_figure_with_its_value(name: str, variant: str) -> None:
    """What is recorded once explains all figures, and none has another value than the rollup."""
    computed = compute(open_proposal(SAMPLES / name), variant)
    snapshot = computed.opened.snapshot
    recording = recorded(snapshot, variant)
    assert recording.figures == named_figures(computed.memo)
    first = next(iter(recording.figures))
    assert explanation_text(recording.explain(first)).startswith(f"{first} = ")
    with pytest.raises(UnknownFigureError, match="near are"):
        recording.explain(f"{first}x")
