"""What is chosen by its effect on the proposal: places of a load, parts, zones. Plain data, no screen library.

As in `view`, everything belongs to one snapshot, and numbers arrive as finished text.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

from bomtui.edit.edit import Edit
from bomtui.tui.marks import Mark

Subject = Literal["place", "part", "zone", "module", "volume"]


@dataclass(frozen=True, slots=True)
class Change:
    """One figure now and after, ready to print; `change` is empty where the difference cannot be told."""

    name: str
    now: str
    after: str
    change: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something that could be taken.

    Attributes:
        key: Unique in its list.
        title: What it is: place, catalog key, zone.
        cells: Figures by column of the subject, without what is not known yet.
        mark: State.
        word: State in words, never missing.
        is_rejected: Whether it is among those that do not do.
        reasons: What speaks against it, or may, each with the two values compared.
        notes: Further sentences.
        changes: What it changes; empty where that is not computed.
        added: Findings that it brings, each with mark and text, worst first.
        cleared: Findings that it clears.
        stirred: Findings that stay with other values.
        is_costed: Whether `changes` is computed.
        edit: What is done where it is taken; None where it cannot be.
    """

    key: str
    title: str
    cells: tuple[str, ...]
    mark: Mark
    word: str
    is_rejected: bool = False
    reasons: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    added: tuple[tuple[Mark, str], ...] = ()
    cleared: tuple[tuple[Mark, str], ...] = ()
    stirred: tuple[tuple[Mark, str], ...] = ()
    is_costed: bool = False
    edit: Edit | None = None


@dataclass(frozen=True, slots=True)
class Candidates:
    """What there is to choose from.

    Attributes:
        snapshot_number: Snapshot that it belongs to.
        subject: What is chosen.
        need: What is asked of it, one line each, the first one in short.
        currency: Currency of all money in it.
        listed: What does or may do, best first, then what does not.
        text: What must be known of the list, in a sentence: how many are costed, what could not be asked.
        empty: What stands in place of an empty list: why, and what to do next.
        cost: The candidate of this key with its effect computed; may take a while.
    """

    snapshot_number: int
    subject: Subject
    need: tuple[str, ...]
    currency: str
    listed: tuple[Candidate, ...]
    text: str
    empty: str
    cost: Callable[[str], Candidate]


class CandidateSource(Protocol):
    """Finds candidates in the newest snapshot. All methods may be called from any thread and may take a while."""

    def places(self, variant: str, load_id: str) -> Candidates:
        """Where a load could be served."""

    def swaps(self, variant: str, module_id: str, ref: str) -> Candidates:
        """Parts that could stand in the place of a device."""

    def devices(self, variant: str, module_id: str, kind: str) -> Candidates:
        """Parts of a kind of which a device could be added to a module."""

    def items(self, variant: str, module_id: str, kind: str, quantity: str) -> Candidates:
        """Parts of a kind that could be counted in a module; the quantity is a plain decimal number."""

    def item_swaps(self, variant: str, module_id: str, part: str) -> Candidates:
        """Parts that could be counted in the place of another one."""

    def zones(self, variant: str, module_id: str) -> Candidates:
        """Zones that a module could move to."""

    def stages(self, variant: str, load_id: str, count: int) -> Candidates:
        """FETs that could be added behind the channels of a load on a pre-driver, so many of one part."""

    def swaps_everywhere(self, variant: str, part: str) -> Candidates:
        """Parts that could stand in the place of one wherever the variant uses it."""

    def modules(self, variant: str, subsystem: str) -> Candidates:
        """Modules that could serve all loads of a subsystem."""

    def volumes(self, variant: str, volume: int) -> Candidates:
        """Vehicles built in a year: the volume that is asked for, and those at which prices change next."""
