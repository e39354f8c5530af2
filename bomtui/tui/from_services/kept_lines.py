"""Lines of the sheet that were built before, with everything that they were built from.

A line may stay where it would be built just as it is. While findings are not known, those that it was built with may
stay, too: the sheet says above them that they are being checked.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from operator import is_
from typing import NamedTuple

from bomtui.services.review import Answers
from bomtui.services.rollup import Computed
from bomtui.tui.from_services.findings import States
from bomtui.tui.from_services.standing import Standing
from bomtui.tui.view import Place


class Price(NamedTuple):
    """What a line shows of a part's price.

    Attributes:
        unit_price: Price of one piece; None where it is unknown.
        has_line_price: Whether the line of the part has a price.
        share: What of that is the module's; None where nothing is.
    """

    unit_price: Decimal | None
    has_line_price: bool
    share: Decimal | None


class Source(NamedTuple):
    """What something is built from.

    Attributes:
        records: Records, and their ids; the same only if they are the very same objects.
        values: Figures and prices, the same if they are equal.
        states: The findings; None where they are not known.
    """

    records: tuple[object, ...]
    values: tuple[object, ...]
    states: States | None

    def allows(self, former: "Source") -> bool:
        """Tell whether what was built from a former source may stay."""
        return (
            (self.states is None or self.states == former.states)
            and len(self.records) == len(former.records)
            and all(map(is_, self.records, former.records))
            and self.values == former.values
        )


@dataclass(frozen=True, slots=True)
class Child:
    """A line inside another one.

    Attributes:
        place: What is shown.
        source: What it was built from.
    """

    place: Place
    source: Source


class Children:
    """Builds the lines inside another one, and keeps those that may stay.

    Attributes:
        built: The lines by a key of their own.

    Args:
        former: What was built before.
    """

    def __init__(self, former: Mapping[str, Child]) -> None:
        self.built: dict[str, Child] = {}
        self._former = former

    def place(self, key: str, source: Source, build: Callable[[], Place]) -> Place:
        """Return a line: the former one of the same key where that may stay, else a new one."""
        child = self._former.get(key)
        if child is None or not source.allows(child.source):
            child = Child(build(), source)
        self.built[key] = child
        return child.place


@dataclass(frozen=True, slots=True)
class Inside:
    """What is inside an outermost line.

    Attributes:
        places: The lines inside.
        hot: Devices among them that are too hot.
        source: What it was built from.
        children: The lines inside that are worth keeping.
    """

    places: tuple[Place, ...]
    hot: frozenset[str]
    source: Source
    children: Mapping[str, Child]


@dataclass(frozen=True, slots=True)
class Line:
    """An outermost line.

    Attributes:
        place: What is shown.
        inside: What is inside.
        source: What the line itself was built from beside that.
    """

    place: Place
    inside: Inside
    source: Source


@dataclass
class Kept:
    """What was built and asked of one variant last; any thread may read and replace it: what holds no more is seen.

    Attributes:
        answers: What rules have said of the variant.
        computed: The variant as it was shown last.
        standing: Where loads and parts stood.
        namesakes: Ids that more than one record bears; addresses tell them apart.
        modules: Lines of modules, and of the loads that none serves, by address.
        subsystems: Lines of subsystems by address.
        networks: Lines of networks by address.
    """

    answers: Answers = field(default_factory=Answers)
    computed: Computed | None = None
    standing: Standing | None = None
    namesakes: frozenset[str] = frozenset()
    modules: dict[str, Line] = field(default_factory=dict)
    subsystems: dict[str, Line] = field(default_factory=dict)
    networks: dict[str, Child] = field(default_factory=dict)
