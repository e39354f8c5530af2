"""Whether two loads hang on a common device."""

import pytest

from bomtui.engine.common_cause import ServedBy, is_apart, served_by
from bomtui.model.ids import parse_address
from bomtui.model.variant import Device, Module, Variant

VARIANT = Variant(
    modules={
        "M": Module(devices={"U1": Device(part="a"), "U2": Device(part="b", counted_in_load="L1")}),
        "N": Module(devices={"U1": Device(part="a")}),
    }
)


def served(load_id: str, *on: str, stage: tuple[str, ...] = ()) -> ServedBy:
    """What serves a load that is placed there."""
    return served_by(VARIANT, load_id, map(parse_address, on), stage)


def test_channels_stage_and_counted_chips_serve_a_load() -> None:
    """A load hangs on the devices of its channels, on its FETs, and on chips of its modules that are counted in it."""
    assert served("L1", "M.U1.2", stage=("M.Q1",)) == ServedBy(frozenset({"M.U1", "M.Q1", "M.U2"}), frozenset({"M"}))
    assert served("L2", "M") == ServedBy(frozenset(), frozenset({"M"}))
    assert served("L1", stage=("M.Q1",)) == ServedBy(frozenset(), frozenset())


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("M.U1.1", "M.U1.2", False),
        ("M.U1.1", "N.U1.1", True),
        ("M.U1.1", "M", None),
        ("M", "M", None),
        ("M", "N", True),
    ],
)
def test_apart(one: str, other: str, expected: bool | None) -> None:
    """Two loads are apart unless a device serves both, or nothing says which device serves one in the same module."""
    assert is_apart(served("L3", one), served("L2", other)) is expected
