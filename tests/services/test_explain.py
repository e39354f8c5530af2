"""Explaining a figure of a sample: names, chains and what is refused."""

import pytest

from bomtui.services.explain import UnknownFigureError, explain, explanation_record, explanation_text, figure_names
from tests.samples.rollups import snapshot


def test_current_names_its_rail_chain() -> None:
    """The map processor's current is traced through the 3.3 V rail, its converter, the 12 V rail and that converter."""
    sample = snapshot("sweeper")
    module = sample.proposal.variants["zone"].modules["ZHMI"]
    cpu = next(ref for ref, device in module.devices.items() if device.part == "cpu-map")
    low = module.devices[cpu].supply["main"]
    buck = module.rails[low].source
    middle = module.devices[buck].supply["input"]
    text = explanation_text(explain(sample, "zone", "ZHMI:electronics_a@WORK_DAY"))
    places = [
        f"ZHMI.{module.rails[middle].source} supply.input",
        f"{middle} = ",
        f"ZHMI.{buck} supply.input",
        f"{low} = ",
        f"ZHMI.{cpu} supply.main",
    ]
    found = [text.index(place) for place in places]
    assert found == sorted(found)
    assert "parts.cpu-map.supplies.main.current.typ" in text
    assert "output_current_a * output_v / (efficiency_ratio * input_v) + quiescent_a" in text


def test_typical_corner_is_meant_where_none_is_named() -> None:
    """A name without a corner is the typical figure."""
    sample = snapshot("sweeper")
    plain = explain(sample, "zone", "ZENG.U1:junction_degc@WORK_DAY")
    assert plain.name == "ZENG.U1:junction_degc@WORK_DAY/typ"
    assert isinstance(plain.value, float)
    assert plain.value == pytest.approx(246.5, abs=0.1)


def test_unknown_terms_are_named_in_a_bound() -> None:
    """A lower bound says how many terms are missing and which."""
    text = explanation_text(explain(snapshot("sweeper"), "zone", "ZUND:electronics_a@WORK_DAY/max"))
    assert text.splitlines()[0].startswith("ZUND:electronics_a@WORK_DAY/max = ")


def test_record_nests_the_steps() -> None:
    """The record of a figure holds formula, inputs and, inside, the steps of each input."""
    record = explanation_record(explain(snapshot("sweeper"), "zone", "vehicle:parking_days"))
    assert record["figure"] == "vehicle:parking_days/typ"
    assert record["value"] == pytest.approx(119.8, abs=0.1)
    names = [entry["name"] for entry in record["origin"]["inputs"]]
    assert names == ["usable_as", "standby_a", "other_standby_a", "self_discharge_a"]
    assert record["origin"]["inputs"][2]["origin"] == "vehicle.other_standby"


def test_unknown_name_is_refused_with_near_ones() -> None:
    """A misspelt figure is one sentence with the nearest names."""
    with pytest.raises(UnknownFigureError, match="no figure is named 'ZENG:standby'; near are ") as refused:
        explain(snapshot("sweeper"), "zone", "ZENG:standby")
    assert "ZENG:standby_a/" in str(refused.value)


def test_every_named_figure_can_be_asked_for() -> None:
    """Names are unique and cover vehicle, modules, devices, parts and subsystems."""
    names = figure_names(snapshot("van"), "central")
    assert len(names) == len(set(names))
    for wanted in ("vehicle:cost", "MBDY:standby_a/max", "MENG.U6:power_w@CRANK/typ", "mcu-176:line_price", "EXT:cost"):
        assert wanted in names
