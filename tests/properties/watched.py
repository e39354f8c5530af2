"""Records that note which of their fields are looked at."""

from collections.abc import Callable
from functools import cache
from typing import Any

from bomtui.model.base import Base
from bomtui.model.proposal import Snapshot

Seen = set[tuple[str, str]]
"""Record type and field of everything that was looked at."""


def watched(snapshot: Snapshot, seen: Seen) -> Snapshot:
    """The same proposal and parts, made of records that add every field that is looked at to `seen`.

    Copies of a record that the program makes are watched too; records of types that it makes anew are not.
    """
    return Snapshot(proposal=_watched(snapshot.proposal, seen.add), parts=_watched(snapshot.parts, seen.add))


def _watched(value: Any, note: Callable[[tuple[str, str]], None]) -> Any:  # noqa: ANN401 - any value of a record
    if isinstance(value, Base):
        fields = {name: _watched(getattr(value, name), note) for name in type(value).__struct_fields__}
        return _watching(type(value), note)(**fields)
    if isinstance(value, dict):
        return {key: _watched(own, note) for key, own in value.items()}
    if isinstance(value, tuple):
        return tuple(_watched(own, note) for own in value)
    return value


@cache
def _watching(record: type[Base], note: Callable[[tuple[str, str]], None]) -> Any:  # noqa: ANN401 - a record type
    names = frozenset(record.__struct_fields__)

    def look(self: Base, name: str) -> object:
        if name in names:
            note((record.__name__, name))
        return record.__getattribute__(self, name)

    body = {"__getattribute__": look, "__module__": record.__module__}
    maker: Any = type(record)
    return maker(record.__name__, (record,), body, frozen=True)
