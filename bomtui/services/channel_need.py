"""What one load asks of channels, held against the free channels of devices."""

from collections.abc import Sequence
from dataclasses import replace

from bomtui.engine.calc import PLAIN
from bomtui.engine.channel_current import channel_current, on_currents
from bomtui.engine.decomposition import as_built
from bomtui.engine.fit import Comparison, Given, compare, misfits
from bomtui.model.bound import Value
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal

Free = tuple[tuple[int, ...] | None, ...]
"""Numbers of the free channels of each device that would serve a load; None where nobody knows them."""


class ChannelNeed:
    """What one load asks of channels.

    Attributes:
        channels: Channels that its drive code needs; 0 where it needs none.

    Args:
        proposal: For the load, its modes and settings.
        load_id: The load.
    """

    def __init__(self, proposal: Proposal, load_id: str) -> None:
        self._proposal, self._load_id = proposal, load_id
        self._load = as_built(proposal, load_id)
        self._on = on_currents(PLAIN, {load_id: self._load}, proposal)[load_id]
        self._currents: dict[int, Value] = {}
        self.channels = proposal.settings.habit(self._load.drive).channels

    def shares(self, part: Part | None, free: Free, stage: Sequence[str] = ()) -> int:
        """Return into how many equal channels the current has to be split on one device.

        More than one only where the part lets its channels work in parallel, one alone surely carries too little, and
        as many are free; as few as suffice.
        """
        if part is None or not part.parallel_ok or len(free) != 1 or free[0] is None or not self.channels:
            return 1
        for shares in range(1, len(free[0]) // self.channels + 1):
            given = self._given(part, free, shares, stage, on_battery=True)
            found = compare("current", self._load, given, self._proposal.settings)
            if found is None or found.fits is not False:
                return shares
        return 1

    def misfits(
        self, part: Part | None, free: Free, shares: int, stage: Sequence[str], *, on_battery: bool
    ) -> list[Comparison]:
        """Return what does not fit, or may not, on the free channels of devices; the side first.

        Args:
            part: Part of the devices.
            free: Their free channels.
            shares: Into how many equal channels the current is split.
            stage: FETs that carry the current.
            on_battery: Whether the devices take the vehicle's supply.
        """
        settings = self._proposal.settings
        given = self._given(part, free, shares, stage, on_battery=on_battery)
        found = list(misfits(self._load, given, settings))
        if given.channels == 0:
            # A device without a free channel is asked for its side all the same: taking a load off would not help.
            side = compare("side", self._load, replace(given, channels=self.channels), settings)
            found += [side] if side is not None and not side.fits else []
        return sorted(found, key=lambda own: own.check != "side")

    def _given(self, part: Part | None, free: Free, shares: int, stage: Sequence[str], *, on_battery: bool) -> Given:
        wanted = self.channels * shares
        there = sum(len(numbers) for numbers in free if numbers is not None)
        # Of a part of which nothing is known, the side alone is undecided: one thing for one gap.
        unknown = wanted if part is None else None
        return Given(
            part=part,
            channels=unknown if None in free else min(there, wanted),
            devices=len(free),
            joined="parallel" if shares > 1 else None,
            staged=bool(stage),
            on_battery=on_battery,
            supply=self._proposal.vehicle.supply,
            current_a=self._current_a(shares),
        )

    def _current_a(self, shares: int) -> Value:
        """Return the largest current of one channel that carries the load alone, or its share of it."""
        if shares not in self._currents:
            own = {self._load_id: (self._load, self._on, float(shares))}
            mismatch = self._proposal.settings.limits.parallel_mismatch_ratio
            self._currents[shares] = channel_current(PLAIN, own, mismatch).current_a
        return self._currents[shares]
