"""Pins and joins in words, on the line of a load and in its details."""

from pathlib import Path

import pytest

from bomtui.edit.edits.placement import Join, Pin
from bomtui.model.load import Load
from bomtui.model.variant import Placement, Variant
from bomtui.tui.from_services.placed_words import placed_figures, placed_marks
from tests.tui.from_services.real import VAN, all_places, opened

ON_ONE, ON_TWO = ("M.U1.1",), ("M.U1.1", "M.U1.2")


@pytest.mark.parametrize(
    ("placements", "shown"),
    [
        ({"A": Placement(on=ON_ONE)}, {"placed on": "M.U1.1"}),
        (
            {"A": Placement(on=ON_TWO, joined="parallel")},
            {"placed on": "M.U1.1, M.U1.2", "joined": "in parallel: M.U1.1 and M.U1.2 carry it together"},
        ),
        (
            {"A": Placement(on=ON_ONE, joined="shared"), "B2": Placement(on=ON_TWO), "B10": Placement(on=ON_ONE)},
            {"placed on": "M.U1.1", "joined": "shared: B2, B10 on the same channel"},
        ),
        (
            {"A": Placement(on=ON_ONE), "B": Placement(on=ON_ONE)},
            {"placed on": "M.U1.1", "joined": "not joined, though B on the same channel"},
        ),
        (
            {"A": Placement(on=ON_ONE, joined="parallel")},
            {"placed on": "M.U1.1", "joined": "parallel, with nothing beside it"},
        ),
        (
            {"A": Placement(on=ON_ONE, stage=("M.Q1", "M.Q2"), pinned=True)},
            {
                "placed on": "M.U1.1", "power stage": "M.Q1, M.Q2",
                "pinned": "by hand: automatic placement leaves it where it is",
            },
        ),
        ({"A": Placement(on=("M",)), "B": Placement(on=("M",))}, {"placed on": "M"}),
    ],
)  # fmt: skip
def test_a_placement_in_words(placements: dict[str, Placement], shown: dict[str, str]) -> None:
    """Which channels carry a load, and which loads hang on a channel, stands with their addresses."""
    found = {
        figure.title: figure.text
        for figure in placed_figures(Variant(placements=placements), "A", Load(subsystem="S", drive="HS"))
    }
    assert found == shown


def test_a_pre_driver_without_fets_is_said_with_what_to_do() -> None:
    """A load of drive code GDF on channels says in its details that FETs are missing."""
    variant = Variant(placements={"A": Placement(on=ON_TWO)})
    (stage,) = (own for own in placed_figures(variant, "A", Load(subsystem="S", drive="GDF")) if own.mark)
    assert (stage.title, stage.word) == ("power stage", "missing")


def test_the_line_of_a_load_says_that_it_is_pinned_and_joined(tmp_path: Path) -> None:
    """Behind its state stand its marks; they go with the pin and the join."""
    source = opened(VAN, tmp_path)
    joined = {key: own.joined for key, own in source.snapshot.proposal.variants["central"].placements.items()}
    load = next(key for key, kind in joined.items() if kind == "parallel")

    def word() -> str:
        view = source.view("central")
        return next(place.word for place in all_places(view) if place.address == load)

    assert word().endswith("parallel")
    assert source.do(Pin(variant="central", loads=(load,))).state == "done"
    assert word().endswith("parallel, pinned")
    assert source.do(Join(variant="central", loads=(load,), joined=None)).state == "done"
    assert word().endswith("pinned")
    assert "parallel" not in word()
    source.discard()


def test_a_load_that_nothing_serves_has_no_marks() -> None:
    """Without a placement there is nothing to mark."""
    assert placed_marks(None) == ()
