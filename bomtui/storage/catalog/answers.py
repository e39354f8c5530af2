"""What the catalog answers: rows, pages, and what writing did."""

from dataclasses import dataclass
from typing import NamedTuple

from bomtui.storage.catalog.filters import Mark


class Row(NamedTuple):
    """What a list shows of a part; `Catalog.get` gives the whole part."""

    key: str
    kind: str
    maker: str
    mpn: str
    description: str
    package: str
    grade: str | None
    life_cycle: str | None
    origin: str


@dataclass(frozen=True, slots=True)
class Page:
    """Some rows of an answer.

    Attributes:
        rows: In the order that was asked for.
        after: What to hand to `Catalog.find` for the rows that follow; None where there are none.
    """

    rows: tuple[Row, ...]
    after: Mark | None


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What writing parts into the catalog did.

    Attributes:
        added: Keys that were not there before.
        replaced: Keys whose part or origin is another now.
        unchanged: Keys that held this very part already.
        kept: Keys left alone, because a shipped part never replaces an imported or edited one.
        removed: Shipped keys that the shipped catalog no longer has.
    """

    added: int = 0
    replaced: int = 0
    unchanged: int = 0
    kept: int = 0
    removed: int = 0
