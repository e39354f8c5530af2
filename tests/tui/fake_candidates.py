"""Invented candidates for the screens, without any calculation behind them."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from bomtui.edit.edits.placement import Place
from bomtui.tui.candidates import Candidate, Candidates, Change, Subject

CHANGES = (
    Change("cost per vehicle", "641.1634 EUR", "642.2344 EUR", "+1.0710 EUR"),
    Change("parking days", "119.8 days", "119.8 days", ""),
)


def _edit(place: str) -> Place:
    return Place(variant="zone", load_id="L24", on=(place,))


def _listed(subject: Subject) -> tuple[Candidate, ...]:
    figures = {
        "place": ("0.0000", "0.0", "98", "2"),
        "part": ("1.3200", "", "", ""),
        "zone": ("85", "", ""),
        "module": ("3 of 6", "", ""),
        "volume": ("",),
    }[subject]
    return (
        Candidate("a", "ZREA.U3.1 (hs24-4x50)", figures, "ok", "fits", changes=CHANGES, is_costed=True,
                  edit=_edit("ZREA.U3.1"),
                  added=(("check", "warning, pins.reserve, ZREA: 131 of 142 pins are used"),)),
        Candidate("b", "ZREA.U4.1 (hs24-4x22)", ("", *figures[1:]), "ok", "fits", edit=_edit("ZREA.U4.1")),
        Candidate("c", "ZREA.U5.1 (hs-x)", figures, "unknown", "undecided", edit=_edit("ZREA.U5.1"),
                  reasons=("not decided: the current of the load is unknown, the limit of a channel is 1.5 A",)),
        Candidate("d", "ZREA.U6.1 (hs24-8x220)", figures, "over", "rejected", is_rejected=True,
                  edit=_edit("ZREA.U6.1"), reasons=("7.933 A on a channel for 5.2 A",)),
        Candidate("e", "ZREA.U7 (hs24-4x100)", figures, "over", "rejected", is_rejected=True,
                  reasons=("0 channels free, 1 needed",)),
    )  # fmt: skip


@dataclass
class FakeCandidates:
    """Candidates made of constants.

    Attributes:
        number: Number of the newest snapshot.
        asked: What was asked for, in order.
        listed: What every question gets; None for the usual list of its subject.
        text: What must be known of the list.
        gate: Lists come while it is set.
        cost_gate: Effects come while it is set.
        failure: Raised instead of a list.
        numbers: Numbers of the snapshots that the next lists belong to.
    """

    number: Callable[[], int]
    asked: list[str] = field(default_factory=list)
    listed: tuple[Candidate, ...] | None = None
    text: str = "1 place is costed; 2 more were not costed."
    empty: str = "No module yet that could serve it."
    need: tuple[str, ...] = ("L24 work lamp rear: driven HS, served by nothing yet",)
    gate: threading.Event = field(default_factory=threading.Event)
    cost_gate: threading.Event = field(default_factory=threading.Event)
    failure: Exception | None = None
    numbers: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.gate.set()
        self.cost_gate.set()

    def _answer(self, subject: Subject, *words: str) -> Candidates:
        self.asked.append(" ".join((subject, *words)))
        assert self.gate.wait(5), "nobody opened the gate"
        if self.failure is not None:
            raise self.failure
        listed = _listed(subject) if self.listed is None else self.listed
        known = {own.key: own for own in listed}

        def cost(key: str) -> Candidate:
            assert self.cost_gate.wait(5), "nobody opened the gate"
            self.asked.append(f"cost {key}")
            own = known[key]
            return replace(own, changes=CHANGES, is_costed=True, cells=("+9.8765", *own.cells[1:]))

        number = self.numbers.pop(0) if self.numbers else self.number()
        return Candidates(number, subject, self.need, "EUR", listed, self.text, self.empty, cost)

    def places(self, variant: str, load_id: str) -> Candidates:
        """Places."""
        return self._answer("place", variant, load_id)

    def swaps(self, variant: str, module_id: str, ref: str) -> Candidates:
        """Parts for a device."""
        return self._answer("part", variant, module_id, ref)

    def devices(self, variant: str, module_id: str, kind: str) -> Candidates:
        """Parts for a new device."""
        return self._answer("part", variant, module_id, kind)

    def items(self, variant: str, module_id: str, kind: str, quantity: str) -> Candidates:
        """Parts for an item."""
        return self._answer("part", variant, module_id, kind, quantity)

    def item_swaps(self, variant: str, module_id: str, part: str) -> Candidates:
        """Parts for an item that is there."""
        return self._answer("part", variant, module_id, part)

    def zones(self, variant: str, module_id: str) -> Candidates:
        """Zones."""
        return self._answer("zone", variant, module_id)

    def stages(self, variant: str, load_id: str, count: int) -> Candidates:
        """FETs."""
        return self._answer("part", variant, load_id, str(count))

    def swaps_everywhere(self, variant: str, part: str) -> Candidates:
        """Parts that could stand in the place of one wherever the variant uses it."""
        return self._answer("part", variant, part)

    def modules(self, variant: str, subsystem: str) -> Candidates:
        """Modules that could serve all loads of a subsystem."""
        return self._answer("module", variant, subsystem)

    def volumes(self, variant: str, volume: int) -> Candidates:
        """Vehicles built in a year."""
        return self._answer("volume", variant, str(volume))
