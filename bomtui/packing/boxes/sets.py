"""Sets of modules: which are tried for becoming one, and which of those that do are taken together."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations

from bomtui.model.ids import natural_key
from bomtui.packing.boxes.merging import Apart, Merger, United

Modules = tuple[str, ...]

ALL_UP_TO = 6
"""Up to so many modules every set of them is tried: 57 sets of six."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of sets of modules.

    Attributes:
        sets: What came of each set, pairs first, in the order in which they were tried.
        is_whole: Whether every set of two modules or more was tried.
        is_ended: Whether nobody wanted the rest.
    """

    sets: Mapping[Modules, United | Apart]
    is_whole: bool
    is_ended: bool

    def united(self) -> Mapping[Modules, United]:
        """Return the sets that become one with a saving."""
        return {key: own for key, own in self.sets.items() if isinstance(own, United)}


@dataclass(frozen=True, slots=True)
class Step:
    """How far the trying has come.

    Attributes:
        tried: Sets tried so far.
        known: Sets that are to be tried as far as is known by now.
        found: Sets among them that become one.
    """

    tried: int
    known: int
    found: int


def sets_tried(
    merger: Merger,
    modules: Sequence[str],
    report: Callable[[Step], None] = lambda _: None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Tried:
    """Try every pair, then every set where modules are few, and otherwise sets that grow out of what saves most.

    Args:
        merger: Judges a set.
        modules: Modules that may become one.
        report: Gets how far it has come.
        is_wanted: Asked now and then whether to go on.
    """
    return _Trying(merger, tuple(sorted(modules, key=natural_key)), report, is_wanted).tried()


class _Trying:
    def __init__(
        self, merger: Merger, modules: Modules, report: Callable[[Step], None], is_wanted: Callable[[], bool]
    ) -> None:
        self.merger = merger
        self.modules = modules
        self.report = report
        self.is_wanted = is_wanted
        self.sets: dict[Modules, United | Apart] = {}
        self.known = 0
        self.is_ended = False

    def tried(self) -> Tried:
        self._try_all(combinations(self.modules, 2), len(self.modules) * (len(self.modules) - 1) // 2)
        is_whole = len(self.modules) <= ALL_UP_TO
        if is_whole:
            larger = [own for size in range(3, len(self.modules) + 1) for own in combinations(self.modules, size)]
            self._try_all(iter(larger), len(larger))
        else:
            self._grow()
        return Tried(self.sets, is_whole and not self.is_ended, self.is_ended)

    def _try_all(self, sets: Iterator[Modules], count: int) -> None:
        self.known += count
        for own in sets:
            if own in self.sets:
                self.known -= 1
            elif not self._try(own):
                return

    def _try(self, own: Modules) -> bool:
        if not self.is_wanted():
            self.is_ended = True
            return False
        self.sets[own] = self.merger.united(own, self.is_wanted)
        found = sum(isinstance(one, United) for one in self.sets.values())
        self.report(Step(len(self.sets), self.known, found))
        return True

    def _grow(self) -> None:
        """Put groups together that save most by it, until none saves any more."""
        groups: list[Modules] = [(module,) for module in self.modules]
        while not self.is_ended:
            pairs = [(self._joined(one, other), one, other) for one, other in combinations(groups, 2)]
            self._try_all(iter([own for own, _, _ in pairs if own not in self.sets]), 0)
            gains = [
                (self._saving(own) - self._saving(one) - self._saving(other), one, other) for own, one, other in pairs
            ]
            gain, one, other = max(gains, key=lambda own: own[0], default=(Decimal(0), (), ()))
            if gain <= 0:
                return
            groups = [own for own in groups if own not in (one, other)] + [self._joined(one, other)]

    def _joined(self, one: Modules, other: Modules) -> Modules:
        return tuple(sorted((*one, *other), key=natural_key))

    def _saving(self, own: Modules) -> Decimal:
        found = self.sets.get(own)
        return found.plan.saving if isinstance(found, United) else Decimal(0)


def best_choice(savings: Mapping[Modules, Decimal]) -> tuple[Modules, ...]:
    """Return the sets without a module in common that save most in sum, exactly; of equal ones the fewest sets.

    Args:
        savings: What each set saves, above 0.
    """
    ordered = sorted(savings, key=lambda own: (natural_key(own[0]), len(own), own))
    names = sorted({name for own in ordered for name in own}, key=natural_key)
    holding = {name: [own for own in ordered if name in own] for name in names}
    known: dict[frozenset[str], tuple[Decimal, int, tuple[Modules, ...]]] = {}

    def best(left: frozenset[str]) -> tuple[Decimal, int, tuple[Modules, ...]]:
        if not left:
            return Decimal(0), 0, ()
        if left not in known:
            first = next(name for name in names if name in left)
            choices = [best(left - {first})]
            for own in holding[first]:
                if left.issuperset(own):
                    saved, sets, rest = best(left.difference(own))
                    choices.append((saved + savings[own], sets - 1, (own, *rest)))
            known[left] = max(choices, key=lambda own: own[:2])
        return known[left]

    return best(frozenset(names))[2]
