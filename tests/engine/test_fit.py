"""Whether a load fits a channel."""

import pytest

from bomtui.engine.fit import NO_SIDE, Misfit, misfits
from bomtui.model.load import DRIVE_CODES, Load
from bomtui.model.part import DRIVER_KINDS, PART_KINDS, Part
from bomtui.model.settings import DriveHabit, Settings

SETTINGS = Settings()
SWITCH = Part(kind="high_side", channels=2, sides=("HS", "HSP"))


def load(drive: str) -> Load:
    """A load of one drive code."""
    return Load(subsystem="S", drive=drive)


def test_a_load_that_fits() -> None:
    """A load on enough channels of a part that drives it has no misfit."""
    assert misfits(load("HSP"), SWITCH, 1, SETTINGS) == ()


def test_the_wrong_side() -> None:
    """A part that does not drive the load says what it drives instead."""
    assert misfits(load("LS"), SWITCH, 1, SETTINGS) == (Misfit("side", "HS HSP", "LS"),)


def test_too_few_channels_and_the_wrong_side() -> None:
    """Everything that does not fit is said at once."""
    assert misfits(load("FB"), SWITCH, 1, SETTINGS) == (Misfit("channels", 1, 2), Misfit("side", "HS HSP", "FB"))


@pytest.mark.parametrize("given", [0, 1, 2, 3, 4, 5])
@pytest.mark.parametrize("drive", DRIVE_CODES)
def test_channels_of_every_drive_code(drive: str, given: int) -> None:
    """A load lacks channels exactly where it is given fewer than its drive code needs."""
    part = Part(kind="half_bridge", sides=(drive,))
    needed = SETTINGS.habit(drive).channels
    expected = (Misfit("channels", given, needed),) if given < needed else ()
    assert misfits(load(drive), part, given, SETTINGS) == expected


def test_channels_are_a_setting() -> None:
    """The proposal's own habit decides how many channels a drive code needs."""
    own = Settings(drives={"HS": DriveHabit(channels=2)})
    assert misfits(load("HS"), SWITCH, 1, own) == (Misfit("channels", 1, 2),)


def test_without_a_channel_the_side_is_not_asked() -> None:
    """A load that is given no channel lacks channels, and nothing is said of a side that it does not use."""
    assert misfits(load("LS"), SWITCH, 0, SETTINGS) == (Misfit("channels", 0, 1),)


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_part_without_sides(kind: str) -> None:
    """A driver that names no side may drive the load or not; any other part drives nothing."""
    (found,) = misfits(load("HS"), Part(kind=kind), 1, SETTINGS)
    if kind in DRIVER_KINDS:
        assert found == Misfit("side", None, "HS", certain=False)
    else:
        assert found == Misfit("side", NO_SIDE, "HS")


def test_an_unknown_part() -> None:
    """Nothing certain is said of a part that nobody knows."""
    assert misfits(load("HS"), None, 1, SETTINGS) == (Misfit("side", None, "HS", certain=False),)
