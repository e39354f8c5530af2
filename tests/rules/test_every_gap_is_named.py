"""Whatever is taken away from a complete vehicle: no figure loses its value without a finding that says why."""

from decimal import Decimal

import pytest
import yaml

from bomtui.engine.figures import all_figures
from bomtui.model.bound import Range, Value
from bomtui.model.money import Total
from bomtui.model.proposal import Snapshot
from tests.rules.build import HERE, changed, computed, leaves, read_tree, review_of, snapshot_of, without

COMPLETE = changed(yaml.safe_load((HERE / "complete.yaml").read_text(encoding="utf-8")))
VALUES = sorted(leaves(COMPLETE))


def is_exact(figure: Value | Decimal | Total) -> bool:
    """Tell whether a figure is known exactly."""
    if isinstance(figure, Total):
        return not figure.unknown
    return figure is not None and not isinstance(figure, Range)


def inexact(snapshot: Snapshot) -> set[str]:
    """Names of the figures of a snapshot that are unknown or bounds."""
    figures = all_figures(computed(snapshot).result)
    return {name for name, figure in figures.items() if not is_exact(figure)}


def test_the_complete_vehicle_is_known_exactly() -> None:
    """Every figure of it is a number and no rule finds anything, so that a gap can be seen."""
    assert review_of(snapshot_of(COMPLETE)).findings == ()
    assert inexact(snapshot_of(COMPLETE)) == set()


@pytest.mark.slow
@pytest.mark.parametrize("path", VALUES, ids=".".join)
def test_a_missing_value_is_named(path: tuple[str, ...]) -> None:
    """Where the lack of one value turns a figure into a bound or an unknown, there is a finding at its record."""
    snapshot, faults = read_tree(without(COMPLETE, path))
    if snapshot is None or faults:
        # The reader refuses the file or names the fault by line and field.
        assert faults
        return
    places = [finding.place for finding in review_of(snapshot).findings]
    lost = inexact(snapshot)
    assert not lost or any(f"{place}.".startswith(f"{record_of(path)}.") for place in places), (lost, places)


def record_of(path: tuple[str, ...]) -> str:
    """Place of the record that holds a value, as findings name it."""
    match path:
        case ("parts", key, *_):
            return f"parts.{key}"
        case ("proposal", "variants", _, "feeds", feed, *_):
            return f"feeds.{feed}"
        case ("proposal", "variants", _, "modules", module, *_):
            return module
        case ("proposal", "variants", _, "networks", network, *_):
            return f"networks.{network}"
        case ("proposal", "variants", _, "placements", load, *_) | ("proposal", "loads", load, *_):
            return load
        case ("proposal", ("zones" | "modes" | "settings") as table, key, *_):
            return f"{table}.{key}"
        case _:
            return path[1]
