"""Software on another controller: memories add, computing time follows the clock, and unknown stays unknown."""

import msgspec

from bomtui.engine.calc import PLAIN
from bomtui.engine.software import software_on
from bomtui.model.bound import Range
from bomtui.model.part import Part
from bomtui.model.variant import Device

SLOW = Part(kind="controller", core_frequency_hz=80e6)
FAST = Part(kind="controller", core_frequency_hz=200e6)
PARTS = {"slow": SLOW, "fast": FAST}
ONE = Device(part="slow", flash_need_byte=300e3, ram_need_byte=20e3, core_load_ratio=0.5)
OTHER = Device(part="fast", flash_need_byte=700e3, ram_need_byte=44e3, core_load_ratio=0.3)


def test_software_of_two_controllers_on_one() -> None:
    """Half of 80 MHz are 40 MHz, a fifth of 200 MHz: 0.2 + 0.3 of the fast one, by hand."""
    software = software_on(PLAIN, FAST, [("A.U1", ONE), ("B.U1", OTHER)], PARTS)
    assert (software.flash_byte, software.ram_byte, software.core_load_ratio) == (1000e3, 64e3, 0.5)


def test_what_is_not_known_of_one_is_not_known_of_all() -> None:
    """Memory of one is a lower bound of both, and the time on a controller without a clock is unknown."""
    blank = msgspec.structs.replace(OTHER, flash_need_byte=None)
    software = software_on(PLAIN, Part(kind="controller"), [("A.U1", ONE), ("B.U1", blank)], PARTS)
    assert isinstance(software.flash_byte, Range)
    assert (software.flash_byte.low, software.flash_byte.high) == (300e3, float("inf"))
    assert software.ram_byte == 64e3
    assert not isinstance(software.core_load_ratio, float)


def test_the_same_controller_does_as_much_in_the_same_time() -> None:
    """A controller whose clock nobody gave runs its own software as it did."""
    part = Part(kind="controller")
    device = Device(part="own", core_load_ratio=0.4)
    assert software_on(PLAIN, part, [("A.U1", device)], {"own": part}).core_load_ratio == 0.4
