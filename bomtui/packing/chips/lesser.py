"""What a part has less of than the one in whose place it would stand, as far as no rule asks for it.

What rules do judge (pins, memory, currents, voltages, ports, grades, safety, heat) is left to them.
"""

from collections.abc import Iterator

from bomtui.model.part import Part
from bomtui.model.quantity import display
from bomtui.packing.chips.candidate import Chip

_NUMBERS = (
    ("core_frequency_hz", "clock", "frequency"),
    ("data_flash_byte", "data flash", "data_size"),
    ("drain_source_v", "drain-source voltage", "voltage"),
    ("drain_current_a", "drain current", "current"),
)
"""Fields of which less is told, with their words and dimension."""

_COUNTS = (
    ("ports", "port", "ports"),
    ("auxiliary_outputs", "small output", "small outputs"),
)
"""Numbers of which less is told."""

_ABILITIES = (
    ("lockstep", "lockstep"),
    ("security_module", "security module"),
)
"""Abilities that may go, with their words."""

_NEEDS = (
    ("flash_need_byte", "flash_byte", "program memory"),
    ("ram_need_byte", "ram_byte", "working memory"),
)
"""What software takes, of what, with its words."""


def lesser(chip: Chip, new: Part) -> Iterator[str]:
    """Yield what a part has less of than the one of a chip, one phrase each.

    Args:
        chip: The chip as it is.
        new: The part that would stand in its place.
    """
    yield from _numbers(chip.part, new)
    for name, words in _ABILITIES:
        if getattr(chip.part, name) and not getattr(new, name):
            yield f"no {words}" if getattr(new, name) is False else f"{words} unknown"
    for need, there, words in _NEEDS:
        now, then = getattr(chip.part, there), getattr(new, there)
        if getattr(chip.device, need) is None and now and then is not None and then < now:
            after, before = (display(value, "data_size", unicode=False) for value in (then, now))
            yield f"{words} {after} in place of {before}, and nobody says what its software takes"


def _numbers(old: Part, new: Part) -> Iterator[str]:
    for name, words, dimension in _NUMBERS:
        now, then = getattr(old, name), getattr(new, name)
        if now is not None and (then is None or then < now):
            after = "unknown" if then is None else display(then, dimension, unicode=False)
            yield f"{words} {after} in place of {display(now, dimension, unicode=False)}"
    for name, one, several in _COUNTS:
        now, then = getattr(old, name), getattr(new, name)
        if now and (then is None or then < now):
            yield f"{'unknown' if then is None else then} {one if then == 1 else several} in place of {now}"
