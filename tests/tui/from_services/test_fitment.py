"""Fitment rates on the screen: what is not in every vehicle says so, and money says of which vehicle it is."""

import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from bomtui.services.open import open_proposal
from bomtui.services.present import amount_column_text
from bomtui.services.rollup import compute
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.screens.rollup.rows import sheet_columns, status_text
from bomtui.tui.view import Figure, Place, RollupView
from tests.tui.from_services.real import SWEEPER, all_places, opened

VARIANT = "zone"
RATES = {
    f"variants.{VARIANT}.modules.ZREA.fitment": "40 %",
    f"variants.{VARIANT}.modules.ZENG.devices.U6.fitment": "25 %",
    "loads.L24.fitment": "10 %",
}


@pytest.fixture
def source(tmp_path: Path) -> SessionSource:
    """The sweeper with a module, a device and a load that not every vehicle has."""
    made = opened(Path(shutil.copytree(SWEEPER, tmp_path / "sweeper")), tmp_path / "settings")
    for place, text in RATES.items():
        assert made.set_text(place, text).state == "done"
    return made


def places(view: RollupView) -> Mapping[str, Place]:
    """The lines by address."""
    return {place.address: place for place in all_places(view)}


def figures(view: RollupView, address: str) -> Mapping[str, Figure]:
    """The details of a line by title."""
    return {figure.title: figure for figure in view.details(address).figures}


def test_lines_say_what_is_not_in_every_vehicle(source: SessionSource) -> None:
    """Module, device and load bear their rate on their line, and its meaning in the details; nothing else has one."""
    view = source.view(VARIANT)
    shown = places(view)
    assert shown["ZREA"].title == "ZREA rear zone module, fitted 40 %"
    assert shown["ZENG.U6"].title.startswith("U6 hs24-4x22, fitted 25 %, ")
    assert shown["L24"].title.endswith(", fitted 10 %")
    assert {address for address, place in shown.items() if "fitted" in place.title} == {"ZREA", "ZENG.U6", "L24"}
    assert figures(view, "ZREA")["fitment"].text == "40 % of the vehicles"
    assert figures(view, "ZENG.U6")["fitment"].text == "25 % of the vehicles with ZENG"
    assert figures(view, "L24")["fitment"].text == "10 % of the vehicles"


def test_money_says_of_which_vehicle_it_is(source: SessionSource) -> None:
    """Meters, columns, details and the line in words name average, lean and full, with the numbers of the rollup."""
    view = source.view(VARIANT)
    source.save()
    cost = compute(open_proposal(Path(source.path)), VARIANT).rollup.cost
    assert cost.lean.total.amount < cost.total.amount < cost.full.total.amount
    average, lean, full = (amount_column_text(total) for total in (cost.total, cost.lean.total, cost.full.total))
    meters = {meter.title: meter.value for meter in view.meters}
    assert meters["Total"] == f"{average} average {lean} lean {full} full EUR"
    assert meters["Parts"].split()[1::2] == ["average", "lean", "full"]
    assert [column.heading for column in sheet_columns("subsystems", view.currency)][2] == "Cost EUR avg"
    assert f"cost {average} EUR avg" in status_text(view.vehicle, view.currency, 300)
    known = figures(view, view.vehicle.address)
    assert known["cost, average vehicle"].text == f"{average} EUR"
    assert known["cost, lean vehicle"].text == f"{lean} EUR"
    assert known["cost, full vehicle"].text == f"{full} EUR"
    assert "Lean: only what every vehicle has" in view.details(view.vehicle.address).notes[-1]


def test_money_that_is_the_same_in_every_vehicle_is_said_once(tmp_path: Path) -> None:
    """A load alone takes wires and no part: the parts of all three vehicles are the same, their total is not."""
    source = opened(Path(shutil.copytree(SWEEPER, tmp_path / "sweeper")), tmp_path / "settings")
    assert source.set_text("loads.L24.fitment", "35 %").state == "done"
    meters = {meter.title: meter.value for meter in source.view(VARIANT).meters}
    assert meters["Parts"] == "439.2334 EUR"
    assert "average" in meters["Total"]
    source.discard()


def test_a_device_that_is_in_some_vehicles_shows_its_share_or_nothing(source: SessionSource) -> None:
    """Its cell is its part of the average vehicle where that is known for it alone; its part's amounts stand below."""
    view = source.view(VARIANT)
    source.save()
    computed = compute(open_proposal(Path(source.path)), VARIANT)
    line = next(line for line in computed.rollup.cost.lines if line.part == "hs24-4x22")
    devices = computed.opened.snapshot.proposal.variants[VARIANT].modules["ZENG"].devices
    assert [ref for ref, device in devices.items() if device.part == "hs24-4x22"] == ["U6"]
    assert places(view)["ZENG.U6"].cells.parts_cost == amount_column_text(line.per_module["ZENG"])
    quantity, lean, full = (f"{number.normalize():f}" for number in (line.quantity, line.lean, line.full))
    text = figures(view, "ZENG.U6")["hs24-4x22 in a vehicle"].text
    assert text == f"{quantity} average, {lean} lean, {full} full"
    assert figures(view, "ZENG.U6")["needed in a year, average"].text == str(line.need)


@pytest.mark.slow
def test_without_rates_nothing_speaks_of_fitment(tmp_path: Path) -> None:
    """Where every vehicle has everything there is one cost, and it needs no word."""
    view = opened(SWEEPER, tmp_path).view(VARIANT)
    assert view.currency == "EUR"
    texts = [meter.value for meter in view.meters]
    texts += [figure.title for figure in view.details(view.vehicle.address).figures]
    assert not [text for text in texts if any(word in text for word in ("average", "lean", "full"))]
