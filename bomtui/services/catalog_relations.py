"""What stands around a part of the catalog: parts that can replace it, and proposals that it is used in."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.services.catalog import opened
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.open import open_proposal
from bomtui.services.refresh import FieldChange, field_changes, places_of

MOST_REPLACEMENTS = 50
"""Parts up to which chains of replacements are followed."""


@dataclass(frozen=True, slots=True)
class Replacement:
    """A part that can replace another, as that part's data say it.

    Attributes:
        key: Its key.
        steps: Length of the chain that leads to it: 1 where the part itself names it.
        via: The part that names it.
        part: Its data; None where the catalog does not have it.
    """

    key: str
    steps: int
    via: str
    part: Part | None


@dataclass(frozen=True, slots=True)
class Use:
    """A proposal beside a part of the catalog.

    Attributes:
        path: The proposal.
        title: Its title; empty where it cannot be read.
        places: By id of the variant the devices and items of that part, in natural order; variants without it are
            left out.
        is_frozen: Whether the proposal keeps a copy of the part.
        changes: Fields in which the catalog says something else than that copy.
        fault: Why it cannot be read, in one sentence; empty where it can.
    """

    path: Path
    title: str = ""
    places: tuple[tuple[str, tuple[str, ...]], ...] = ()
    is_frozen: bool = False
    changes: tuple[FieldChange, ...] = ()
    fault: str = ""


def replacements_of(key: str, place: str | None = None) -> tuple[Replacement, ...]:
    """Return the parts that can replace a part, those that can replace these, and so on; each once, the nearest first.

    Args:
        key: Its key.
        place: Where the catalog is; None for the usual place.

    Raises:
        UnknownNameError: The catalog has no such part.
        BomtuiError: The catalog cannot be used.
    """
    with opened(place) as catalog:
        start = catalog.get(key)
        if start is None:
            raise UnknownNameError(f"the catalog has no part '{key}'")
        found: dict[str, Replacement] = {}
        level = {key: start}
        steps = 0
        while level and len(found) < MOST_REPLACEMENTS:
            steps += 1
            named = {
                other: via
                for via, part in reversed(level.items())
                for other in part.alternates
                if other != key and other not in found
            }
            level = catalog.get_many(sorted(named, key=natural_key))
            for other in sorted(named, key=natural_key):
                found[other] = Replacement(other, steps, named[other], level.get(other))
    return tuple(found.values())[:MOST_REPLACEMENTS]


def uses_of(key: str, proposals: Iterable[Path], place: str | None = None) -> tuple[Use, ...]:
    """Return proposals beside a part: where it stands in them, and whether their copy is another.

    Args:
        key: Its key.
        proposals: The proposals; one that cannot be read says why.
        place: Where the catalog is; None for the usual place.

    Raises:
        UnknownNameError: The catalog has no such part.
        BomtuiError: The catalog cannot be used.
    """
    with opened(place) as catalog:
        part = catalog.get(key)
    if part is None:
        raise UnknownNameError(f"the catalog has no part '{key}'")
    return tuple(_use(path, key, part) for path in proposals)


def _use(path: Path, key: str, part: Part) -> Use:
    try:
        snapshot = open_proposal(path).snapshot
    except BomtuiError as error:
        return Use(path, fault=str(error))
    frozen = snapshot.parts.get(key)
    variants = snapshot.proposal.variants
    by_variant = [(name, places_of(variants[name], key)) for name in sorted(variants, key=natural_key)]
    return Use(
        path=path,
        title=snapshot.proposal.proposal.name,
        places=tuple((name, places) for name, places in by_variant if places),
        is_frozen=frozen is not None,
        changes=() if frozen is None else field_changes(frozen, part),
    )
