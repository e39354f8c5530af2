"""Contacts of a module's connectors: what one carries, and how much of that counts among many loaded ones."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value, exceeds
from bomtui.model.limits import Limits
from bomtui.model.part import Part
from bomtui.model.rollup import WireUse
from bomtui.model.settings import Settings
from bomtui.model.variant import Module


@formula("ways / total_ways", "", "share of the ways of a connector in use (definition)")
def ways_ratio(ways: int, total_ways: int) -> float:
    """Share of the ways of a connector that are in use.

    Args:
        ways: Ways in use.
        total_ways: Ways that it has, above 0.

    Source: definition.
    """
    return ways / total_ways


@formula("contact_current_a * ways * load_ratio", "A", "derated contacts in parallel (common practice, no source)")
def contacts_a(contact_current_a: float, ways: int, load_ratio: float) -> float:
    """Current of contacts that share it.

    Args:
        contact_current_a: Current of one alone [A].
        ways: How many share it.
        load_ratio: Share of it that counts.

    Source: common practice, no source; that they share it equally is taken for granted.
    """
    return contact_current_a * ways * load_ratio


@dataclass(frozen=True, slots=True)
class Contacts:
    """The contacts of one connector of a module.

    Attributes:
        part: Catalog key of the connector; empty where the module has none of the sort, or too many to tell.
        contact_a: Current of one contact among the others; None where unknown.
    """

    part: str
    contact_a: Value


@dataclass(frozen=True, slots=True)
class ModuleContacts:
    """The connectors of a module.

    Attributes:
        signal: Its contacts for signals and for the common ways.
        power: Its contacts for loads of large currents.
        named: Those of each of its connectors by key.
    """

    signal: Contacts
    power: Contacts
    named: Mapping[str, Contacts]

    def of(self, key: str, *, powered: bool | None) -> Contacts:
        """Return the contacts that are named, or that a current takes by its size.

        Args:
            key: Catalog key of a connector; empty where nothing is named.
            powered: Whether the current takes power contacts; None where that is not known.
        """
        if key:
            return self.named.get(key, NONE)
        if powered is None:
            return NONE
        return self.power if powered else self.signal


NONE = Contacts("", None)


def module_contacts(
    calc: Gate, module: Module, parts: Mapping[str, Part], use: WireUse, settings: Settings
) -> ModuleContacts:
    """Return the contacts of a module by what they are for.

    Power contacts are those of a current above which a load takes them (settings), all others are for signals. Of the
    connectors for signals the ways in use are counted; of any other all are taken to be in use. Of several connectors
    of one sort the one of the least contact current counts.

    Args:
        calc: Gate.
        module: The module.
        parts: Frozen parts by key.
        use: Its ways in use.
        settings: How ways are counted, and how much of its current a contact carries among many.
    """
    found: dict[str, tuple[float, Part]] = {}
    for key in module.items:
        part = parts.get(key)
        if part is None or part.kind != "connector" or part.bus:
            continue
        if part.contact_current_a is None:
            return ModuleContacts(NONE, NONE, {})
        found[key] = (part.contact_current_a, part)
    above_a = settings.counting.power_contact_above_a
    signals = sorted((own, key) for key, (own, _) in found.items() if own <= above_a)
    powers = sorted((own, key) for key, (own, _) in found.items() if own > above_a)
    used = _used_ratio(calc, module, [(key, found[key][1].ways) for _, key in signals], use)
    whole: Value = calc.given(1.0, "all of its ways are in use")
    named = {
        key: Contacts(key, _contact_a(calc, part, used if own <= above_a else whole, settings.limits))
        for key, (own, part) in found.items()
    }
    return ModuleContacts(named[signals[0][1]] if signals else NONE, named[powers[0][1]] if powers else NONE, named)


def _used_ratio(calc: Gate, module: Module, ways: Sequence[tuple[str, int | None]], use: WireUse) -> Value:
    """Return the share of the ways of some connectors that are in use; None where one does not say how many it has."""
    known = [int(module.items[key].quantity.quantity) * own for key, own in ways if own is not None]
    if len(known) != len(ways) or not sum(known):
        return None
    return calc(
        ways_ratio,
        ways=calc.given(use.ways, "ways in use"),
        total_ways=calc.given(sum(known), "ways of the connectors for signals"),
    )


def _contact_a(calc: Gate, part: Part, used_ratio: Value, limits: Limits) -> Value:
    crowded = exceeds(used_ratio, limits.contact_loaded_ratio)
    if crowded is None:
        return None
    alone: Value = calc.given(1.0, "few of its ways are in use")
    return calc(
        contacts_a,
        contact_current_a=part.contact_current_a,
        ways=calc.given(1, "one contact"),
        load_ratio=limits.contact_load_ratio if crowded else alone,
    )
