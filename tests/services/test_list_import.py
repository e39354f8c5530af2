"""Placements, wire runs and quantities from a list: each row an edit that is tried, all of them one step."""

from decimal import Decimal
from pathlib import Path

import pytest

from bomtui.edit.edit import apply
from bomtui.model.proposal import Snapshot
from bomtui.services.list_import import plan_list
from bomtui.services.load_import import LoadImport
from bomtui.services.sheets import Answers
from tests.edit.small import small


def plan(tmp_path: Path, what: str, text: str, **answers: str) -> LoadImport:
    """Plan the import of a list into the small proposal."""
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return plan_list(small(), what, next(iter(small().proposal.variants)), path, Answers(**answers))  # type: ignore[arg-type]


def after(found: LoadImport) -> Snapshot:
    """The small proposal with all of it."""
    assert found.edit is not None
    assert found.sheet.obstacle(without_refused=False) == ""
    snapshot = apply(found.edit, small())
    assert isinstance(snapshot, Snapshot)
    return snapshot


def test_quantities_of_items_are_set(tmp_path: Path) -> None:
    """A quantity of an item that is there changes; a sheet's unit and decimal comma are read."""
    found = plan(tmp_path, "quantities", "Modul;Teil;Menge\nREAR;board;2,5 dm2\n")
    variant = next(iter(after(found).proposal.variants.values()))
    assert variant.modules["REAR"].items["board"].quantity.quantity == Decimal("2.5")
    assert [row.state for row in found.sheet.rows] == ["changed"]
    same = plan(tmp_path, "quantities", "module,part,quantity\nREAR,board,1.8 dm2\n")
    assert (same.edit, [row.state for row in same.sheet.rows]) == (None, ["as it is"])


@pytest.mark.parametrize(("answer", "quantity"), [("keep", "1"), ("replace", "2"), ("sum", "3")])
def test_rows_of_one_item_are_kept_replaced_or_added(tmp_path: Path, answer: str, quantity: str) -> None:
    """As somebody says; without a word the second row is refused and asked about."""
    text = "module,part,quantity\nREAR,board,1 dm2\nREAR,board,2 dm2\n"
    variant = next(iter(after(plan(tmp_path, "quantities", text, duplicates=answer)).proposal.variants.values()))
    assert variant.modules["REAR"].items["board"].quantity.quantity == Decimal(quantity)
    asked = plan(tmp_path, "quantities", text)
    assert [question.about for question in asked.sheet.questions] == ["duplicates"]
    assert asked.sheet.refused_lines == (3,)


def test_wire_runs_between_zones_are_set(tmp_path: Path) -> None:
    """One row is one pair, whichever zone stands first."""
    zones = list(small().proposal.zones)[:2]
    found = plan(tmp_path, "distances", f"from,to,length [mm]\n{zones[0]},{zones[1]},3250\n")
    runs = {key: zone.distance_m for key, zone in after(found).proposal.zones.items()}
    assert 3.25 in {*runs[zones[0]].values(), *runs[zones[1]].values()}
    twice = plan(tmp_path, "distances", f"from,to,run [m]\n{zones[0]},{zones[1]},3\n{zones[1]},{zones[0]},4\n")
    assert twice.sheet.refused_lines == (3,)


def test_a_matrix_of_wire_runs_is_one_step(tmp_path: Path) -> None:
    """Zones across and down; halves that contradict are asked, and one answer chooses."""
    found = plan(tmp_path, "distances", "[m],Z1,Z2\nZ1,,3.25\nZ2,3.25,\n")
    assert after(found).proposal.zones["Z1"].distance_m["Z2"] == 3.25
    twice = plan(tmp_path, "distances", "[m],Z1,Z2\nZ1,,3.25\nZ2,4,\n")
    assert twice.sheet.refused_lines == (3,)
    assert [question.about for question in twice.sheet.questions] == ["duplicates"]
    last = plan(tmp_path, "distances", "[m],Z1,Z2\nZ1,,3.25\nZ2,4,\n", duplicates="replace")
    assert after(last).proposal.zones["Z1"].distance_m["Z2"] == 4.0


def test_the_dry_run_says_every_value_and_the_former_one(tmp_path: Path) -> None:
    """Of a run, a quantity and a placement, what is set and what stood there; two that contradict, with both values."""
    (run,) = plan(tmp_path, "distances", "[mm],Z1,Z2\nZ1,,3250\nZ2,,\n").sheet.rows
    (quantity,) = plan(tmp_path, "quantities", "module,part,quantity\nREAR,board,2.5 dm2\n").sheet.rows
    (placement,) = plan(tmp_path, "placements", "load,on\nL2,REAR.U3.3\n").sheet.rows
    (same,) = plan(tmp_path, "quantities", "module,part,quantity\nREAR,board,1.8 dm2\n").sheet.rows
    assert (run.name, run.said.partition(" (was ")[0]) == ("Z1 to Z2", "distance 3.25 m")
    assert (quantity.said, same.said) == ("quantity 2.5 dm2 (was 1.8 dm2)", "quantity 1.8 dm2")
    assert placement.said == "on REAR.U3.3 (was REAR.U3.3; REAR.U3.4), joined none (was parallel)"
    twice = plan(tmp_path, "distances", "[m],Z1,Z2\nZ1,,3.25\nZ2,4,\n")
    assert twice.sheet.problems[0].field == "Z1 to Z2"
    assert twice.sheet.problems[0].message == "distance 4 m, but distance 3.25 m in line 2"


def test_placements_are_set(tmp_path: Path) -> None:
    """A load goes onto its channels; what is not there is refused with its line, and stops all."""
    found = plan(tmp_path, "placements", "load,on\nL3,REAR.U4.2\n")
    variant = next(iter(after(found).proposal.variants.values()))
    assert variant.placements["L3"].on == ("REAR.U4.2",)
    refused = plan(tmp_path, "placements", "load,on\nL3,REAR.U4.2\nL1x,REAR.U3.1\nL2,REAR.U99.1\n")
    assert refused.sheet.refused_lines == (3, 4)
    assert refused.sheet.obstacle(without_refused=False) == "2 rows were refused"
    assert refused.sheet.obstacle(without_refused=True) == ""


def test_a_channel_that_another_load_has_is_not_taken_away(tmp_path: Path) -> None:
    """A list that would push a load off is refused, with the name of that load."""
    found = plan(tmp_path, "placements", "load,on\nL1,REAR.U3.4\n")
    assert found.edit is None
    assert "L2 would be taken off" in found.sheet.problems[0].message


def test_two_loads_swap_their_channels(tmp_path: Path) -> None:
    """All rows move at once, whichever stands first; nothing else of their placements is lost."""
    text = "load,on,joined\nL1,REAR.U3.3; REAR.U3.4,parallel\nL2,REAR.U3.1,\n"
    found = plan(tmp_path, "placements", text)
    placements = next(iter(after(found).proposal.variants.values())).placements
    assert (placements["L1"].on, placements["L2"].on) == (("REAR.U3.3", "REAR.U3.4"), ("REAR.U3.1",))
    assert (placements["L1"].pinned, placements["L1"].note) == (True, "kept")
    assert found.edit is not None
    assert found.edit.label == "import 2 placements from list.csv"


@pytest.mark.parametrize(
    ("rows", "lines"),
    [
        # Text that is no address.
        ("L1,REAR.U3.3\nL2,REAR.U3.1 or so\n", (2, 3)),
        # L2 cannot leave for a place that is not there, so it is in the way of L1.
        ("L1,REAR.U3.3\nL2,REAR.U99.1\n", (2, 3)),
        # Two that want one channel: neither has the better right.
        ("L1,REAR.U3.2\nL3,REAR.U3.2\n", (2, 3)),
        # A chain whose end stands still.
        ("L3,REAR.U3.1\nL1,REAR.U3.3\n", (2, 3)),
    ],
)
def test_what_is_in_the_way_at_the_end_is_refused(tmp_path: Path, rows: str, lines: tuple[int, ...]) -> None:
    """Each row that cannot be done names its line, and nothing moves."""
    found = plan(tmp_path, "placements", f"load,on\n{rows}")
    assert (found.edit, found.sheet.refused_lines) == (None, lines)
