"""What can wake a module while the vehicle is parked: its transceivers, and the modules that are kept alive on them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.networks.reach import modules_on, networks_of
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import Part
from bomtui.model.variant import Variant

PERMANENT = "30"
NEVER = "none"
"""What a part says that nothing wakes."""
BY_ITSELF = ("local", "timer")
"""What a part says that a signal at its own pin, or a timer of its own, wakes besides its bus."""


@dataclass(frozen=True, slots=True)
class Waker:
    """One transceiver that may wake its module.

    Attributes:
        ref: Reference of the device.
        by: What wakes it: `local`, `timer`, or the module that is kept alive on one of its networks; empty for nothing.
        network: The network over which that happens; empty where it wakes by itself.
        is_known: Whether that can be told: not where its part does not say what wakes it, or no network is named.
    """

    ref: str
    by: str = ""
    network: str = ""
    is_known: bool = True

    @property
    def words(self) -> str:
        """What wakes the module, in words."""
        if not self.network:
            return f"{self.ref} ({self.by})"
        return f"{self.by} over {self.network} at {self.ref}"


def wakers(variant: Variant, parts: Mapping[str, Part], module_id: str) -> tuple[Waker, ...]:
    """Return what wakes a module through each of its transceivers on terminal 30, and what may, in natural order.

    Args:
        variant: The variant.
        parts: Frozen parts.
        module_id: One of its modules.
    """
    devices = variant.modules[module_id].devices
    found = (_waker(variant, parts, module_id, ref) for ref in sorted(devices, key=natural_key))
    return tuple(own for own in found if own is not None and (own.by or not own.is_known))


def _waker(variant: Variant, parts: Mapping[str, Part], module_id: str, ref: str) -> Waker | None:
    device = variant.modules[module_id].devices[ref]
    part = parts.get(device.part)
    if device.terminal != PERMANENT:
        return None
    if part is None:
        return Waker(ref, is_known=False)
    if not (part.kind.startswith("transceiver") or part.kind == "sbc") or part.wake == NEVER:
        return None
    alone = next((own for own in BY_ITSELF if own in part.wake), "")
    if alone:
        return Waker(ref, alone)
    if not variant.networks:
        return Waker(ref, is_known=False)
    alive = next(_alive_on(variant, module_id, str(Address(module_id, ref))), None)
    if alive is None:
        return None
    network, other = alive
    return Waker(ref, other, network) if part.wake else Waker(ref, is_known=False)


def _alive_on(variant: Variant, module_id: str, at: str) -> Iterator[tuple[str, str]]:
    """Yield the networks of a device on which another module is kept alive, and that module."""
    for network in networks_of(variant, at):
        for other in modules_on(variant.networks[network]):
            if other != module_id and other in variant.modules and variant.modules[other].keep_alive:
                yield network, other
