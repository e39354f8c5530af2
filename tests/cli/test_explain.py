"""`bomtui explain`: a figure with its formula, inputs and fields."""

import pytest

from tests.cli.running import SWEEPER, Command


def test_a_figure_is_explained_down_to_its_fields(bomtui: Command) -> None:
    """The text begins with figure and value, and ends its branches at fields of the files."""
    result = bomtui("explain", SWEEPER, "vehicle:standby_a", "--variant", "zone")
    assert (result.code, result.err) == (0, [])
    assert result.out.splitlines()[0] == "vehicle:standby_a/typ = 0.0009637 A"
    assert "<- parts.hs24-2x10.standby_current.typ" in result.out


@pytest.mark.slow
def test_the_value_is_that_of_the_rollup(bomtui: Command) -> None:
    """The explained value of a device is the one that the rollup prints."""
    figure = bomtui("explain", SWEEPER, "ZCEN:standby_a/max", "--format", "json").json
    modules = bomtui("rollup", SWEEPER, "--format", "json").json["modules"]
    module = next(module for module in modules if module["id"] == "ZCEN")
    assert figure["figure"] == "ZCEN:standby_a/max"
    assert round(figure["value"], 9) == round(module["standby_a"]["max"], 9)
    assert figure["origin"]["inputs"]


def test_an_unknown_figure_names_near_ones(bomtui: Command) -> None:
    """A figure that does not exist is refused with the nearest names."""
    result = bomtui("explain", SWEEPER, "vehicle:standbya")
    assert (result.code, result.stdout, len(result.err)) == (2, b"", 1)
    assert "vehicle:standby_a/typ" in result.err[0]
