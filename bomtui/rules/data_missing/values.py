"""How a value that a figure reads is asked for."""

from collections.abc import Iterable
from functools import cache

from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.finding import Verdict
from bomtui.rules.context import failed, passed, undecided

CURRENTS = "load and supply currents"
ELECTRONICS = "the current of the electronics"
STANDBY = "standby current and parking days"
PARTS_COST = "the cost of parts"
COST = "the cost"
WIRES = "length and cost of wires"
HEAT = "heat and junction temperatures"


def value(record: type[Base], name: str, owner: str, figures: str, *, present: bool | None) -> Verdict:
    """Say whether one field of a record is given.

    Args:
        record: Type of the record.
        name: Name of the field.
        owner: Place of the record.
        figures: What is read from the field, in words.
        present: Whether it is given; None where it is not and nothing says whether it is needed.
    """
    info = _by_name(record)[name]
    name_in_words = info.help.partition(";")[0]
    return fact(f"{owner}.{info.key}", f"{name_in_words} is not given", figures, present=present)


def values(record: type[Base], owner: str, figures: str, given: dict[str, bool]) -> Iterable[Verdict]:
    """Say of several fields of a record, by name, whether they are given."""
    for name, present in given.items():
        yield value(record, name, owner, figures, present=present)


def fact(place: str, missing: str, figures: str, *, present: bool | None) -> Verdict:
    """Say whether something that figures rest on is there.

    Args:
        place: Where it belongs.
        missing: Sentence for its absence.
        figures: What rests on it, in words.
        present: Whether it is there; None where it is not and nothing says whether it is needed.
    """
    if present:
        return passed(place)
    say = failed if present is False else undecided
    return say(place, missing=missing, figures=figures)


@cache
def _by_name(record: type[Base]) -> dict[str, FieldInfo]:
    return {info.name: info for info in field_table(record)}
