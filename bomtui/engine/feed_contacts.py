"""Contacts through which a module is fed, and through which its current returns."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.contacts import NONE, Contacts, contacts_a, module_contacts
from bomtui.engine.electrics import Electrics
from bomtui.engine.feeds import returned_a
from bomtui.engine.load_groups import largest_on
from bomtui.model.bound import Value
from bomtui.model.ids import natural_key
from bomtui.model.rollup import ModuleResult


@dataclass(frozen=True, slots=True)
class FedThrough:
    """Contacts of a module for one of its feeds.

    Attributes:
        module: The module.
        feed: The feed.
        fuse_a: Rated current of its fuse, or highest trip current of the channel in its place.
        part: Connector; empty where nothing says which.
        supply_a: Steady current of the module through it, per mode.
        supply_limit_a: What the contacts of the supply carry.
        ground_a: Steady current that returns, per mode.
        ground_limit_a: What the contacts of the ground carry.
    """

    module: str
    feed: str
    fuse_a: Value
    part: str
    supply_a: Mapping[str, Value]
    supply_limit_a: Value
    ground_a: Mapping[str, Value]
    ground_limit_a: Value


def fed_through(
    electrics: Electrics, results: Mapping[str, ModuleResult], protections: Mapping[str, Value]
) -> Iterator[FedThrough]:
    """Yield the contacts of every module for each of its feeds.

    Args:
        electrics: Figures beyond the rollup.
        results: What was computed for each module.
        protections: What cuts each feed off at last.
    """
    calc, counting = electrics.calc, electrics.proposal.settings.counting
    for module_id in sorted(electrics.feed_draws, key=natural_key):
        module = electrics.variant.modules[module_id]
        contacts = module_contacts(
            calc, module, electrics.snapshot.parts, results[module_id].wires, electrics.proposal.settings
        )
        for feed_id, draws in electrics.feed_draws[module_id].items():
            feed = electrics.variant.feeds.get(feed_id)
            if feed is None:
                continue
            own = contacts.named.get(feed.contact, NONE) if feed.contact else contacts.signal
            supply_a = {}
            for mode, draw in draws.items():
                loads_a, _ = largest_on(calc, ("loads of no group",), (draw.heating,))
                supply_a[mode] = calc.total(("loads", "electronics"), (loads_a, draw.electronics_a))
            yield FedThrough(
                module=module_id,
                feed=feed_id,
                fuse_a=protections[feed_id],
                part=own.part,
                supply_a=supply_a,
                supply_limit_a=_together_a(electrics, own, counting.feed_ways if feed.ways is None else feed.ways),
                ground_a={mode: returned_a(calc, {module_id: draw}) for mode, draw in draws.items()},
                ground_limit_a=_together_a(electrics, own, counting.ground_ways),
            )


def _together_a(electrics: Electrics, own: Contacts, ways: int) -> Value:
    calc = electrics.calc
    return calc(contacts_a, contact_current_a=own.contact_a, ways=ways, load_ratio=calc.given(1.0, "derated already"))
