"""Parts of the catalog that would make a finding go away: looked for where somebody asks, never inside a rollup.

    named = finding_of(reviewed, "heat.junction", "ZREA.U9")
    found = remedies_of(reviewed, named)            # Remedies: parts that meet the finding's need, each judged

A rule that knows which part would help says so as the `need` of its finding: kinds, lowest and highest values of
parameters, fields that must be there. Parts of the catalog and frozen ones that meet it are put in the place of the
device, the cheapest first, and each is judged by the rollup and the rules of the changed variant: whether the finding
is gone, what comes, what it costs.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from bomtui.edit.edit import Refusal
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.item import AddItem, RemoveItem
from bomtui.model.fields import field_table
from bomtui.model.finding import Finding, Need
from bomtui.model.ids import natural_key, parse_address
from bomtui.model.parameter import Parameter
from bomtui.model.part import Part
from bomtui.model.variant import Module, Placement
from bomtui.services.catalog import opened
from bomtui.services.effects import Basis, Effect, basis_of, effect_of
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.one_step import session_of, write_step
from bomtui.services.part_choice import JUDGED, PartChoice, choice_of, quantity_of, ranked, swap_choices
from bomtui.services.part_words import kind_words
from bomtui.services.present import value_text
from bomtui.services.review import Reviewed
from bomtui.services.rollup import Computed

if TYPE_CHECKING:
    from bomtui.storage.catalog import Catalog
    from bomtui.storage.catalog.filters import Limit

LOOKED_AT = 5000
"""Parts of a kind that are looked at, the cheapest first."""

_PAGE_ROWS = 500
_SEVERE = "error"


@dataclass(frozen=True, slots=True)
class Remedy:
    """A part that meets the need of a finding, in one place of the variant.

    Attributes:
        place: Device, or module of an item, whose part it would be.
        choice: The part, its price, and the edit that takes it.
        effect: What taking it does; the refusal where it cannot be taken; None where it does not fit and was
            not tried.
        clears: Whether the finding is gone then, and stands with no other values either.
        errors: How many errors come with it.
    """

    place: str
    choice: PartChoice
    effect: Effect | Refusal | None
    clears: bool
    errors: int


@dataclass(frozen=True, slots=True)
class Remedies:
    """What the catalog has for a finding.

    Attributes:
        finding: The finding.
        remedies: What makes the finding go and brings no error first, then by what it costs.
        places: Devices, or modules of items, whose part would be another.
        meeting: Parts that meet the need, judged or not.
        cut: Kinds of which the catalog has more than were looked at.
    """

    finding: Finding
    remedies: tuple[Remedy, ...]
    places: tuple[str, ...]
    meeting: int
    cut: tuple[str, ...]


def findings_with_needs(reviewed: Reviewed) -> tuple[Finding, ...]:
    """Return the findings that another part may make go away, in the order of the review."""
    return tuple(finding for finding in reviewed.review.findings if finding.need is not None and finding.need.kinds)


def finding_of(reviewed: Reviewed, rule: str, place: str) -> Finding:
    """Return the finding of a rule at a place that another part may make go away.

    Raises:
        UnknownNameError: There is none; the sentence says whether there is a finding at all.
    """
    there = [own for own in reviewed.review.findings if (own.rule, own.place) == (rule, place)]
    helped = [own for own in findings_with_needs(reviewed) if own in there]
    if helped:
        return helped[0]
    variant = reviewed.computed.variant
    if there:
        raise UnknownNameError(f"{rule} does not say which other part would help at {place}: {there[0].remedy}")
    raise UnknownNameError(f"{rule} finds nothing at '{place}' in the variant {variant}")


def remedies_of(reviewed: Reviewed, finding: Finding, place: str | None = None) -> Remedies:
    """Look for parts that make a finding go away.

    Args:
        reviewed: The variant.
        finding: A finding of it with a need.
        place: Where the catalog is; None for the usual place.

    Raises:
        BomtuiError: The catalog cannot be used.
    """
    computed, need = reviewed.computed, finding.need or Need(kinds=())
    snapshot = computed.opened.snapshot
    meeting, cut = _meeting(need, computed, place)
    meeting |= {key: part for key, part in snapshot.parts.items() if meets(part, need)}
    basis = basis_of(computed, reviewed.review)
    places = _places(computed, finding)
    choices = [(where, choice) for where in places for choice in _choices(basis, where, need, meeting)]
    judged = [_judged(basis, finding, where, choice) for where, choice in choices]
    return Remedies(finding, tuple(sorted(judged, key=_rank)), places, len(meeting), cut)


def need_words(finding: Finding) -> str:
    """Say what a part would have to be, in one line: `low side switch, with freewheel`."""
    need = finding.need
    if need is None:
        return ""
    by_name = {info.name: info for info in field_table(Part)}
    words = [" or ".join(map(kind_words, need.kinds))]
    for sign, limits in ((">=", need.least), ("<=", need.most)):
        for name, limit in limits.items():
            info = by_name[name]
            words.append(f"{info.key} {sign} {value_text(limit, info.dimension) if info.dimension else limit}")
    words += [f"with {by_name[name].key}" for name in need.has]
    return ", ".join(words)


def remedy_of(found: Remedies, key: str, place: str = "") -> Remedy:
    """Return the remedy by the part that it takes.

    Args:
        found: Remedies.
        key: Catalog key.
        place: In place of which device or module; empty where there is only one.

    Raises:
        UnknownNameError: There is none, or several in several places.
    """
    own = [remedy for remedy in found.remedies if remedy.choice.key == key and place in ("", remedy.place)]
    if not own:
        raise UnknownNameError(f"the part '{key}' is none of those tried here")
    if len(own) > 1:
        raise UnknownNameError(f"the part '{key}' may be taken at {', '.join(one.place for one in own)}: name one")
    return own[0]


def take_remedy(target: Path, remedy: Remedy, *, losing: bool = False, folder: Path | None = None) -> None:
    """Take a part into a proposal file as one step.

    Args:
        target: The proposal.
        remedy: What to take.
        losing: Whether to save although comments of the files would be lost.
        folder: Folder of the journals; None for the person's own.

    Raises:
        BomtuiError: It does not fit, the proposal cannot be read or written, or holds steps that nobody has saved.
    """
    if not isinstance(remedy.effect, Effect):
        why = "; ".join(reason.text for reason in remedy.choice.reasons)
        refused = remedy.effect.sentence if isinstance(remedy.effect, Refusal) else why
        raise BomtuiError(f"nothing was taken: {remedy.choice.key} does not fit at {remedy.place}: {refused}")
    with session_of(target, folder) as session:
        write_step(session, remedy.choice.edit, "nothing was taken", losing=losing)


def meets(part: Part, need: Need) -> bool:
    """Tell whether a part surely meets a need: of the kinds, with every value known and within, and every field there.

    A lowest value is held against the lower end of a parameter, a highest one against the upper end.
    """
    return (
        part.kind in need.kinds
        and all(_has(getattr(part, name)) for name in need.has)
        and all(_number(part, name, "lower", limit, 1) for name, limit in need.least.items())
        and all(_number(part, name, "upper", limit, -1) for name, limit in need.most.items())
    )


def _has(value: object) -> bool:
    return value is not None and value not in ("", (), {}, "none")


def _number(part: Part, name: str, side: str, limit: float, sign: int) -> bool:
    value = getattr(part, name)
    number = getattr(value, side) if isinstance(value, Parameter) else value
    return number is not None and sign * number >= sign * limit


def _meeting(need: Need, computed: Computed, place: str | None) -> tuple[dict[str, Part], tuple[str, ...]]:
    found: dict[str, Part] = {}
    cut = []
    with opened(place) as catalog:
        for kind in need.kinds:
            looked = 0
            for parts in _pages(catalog, kind, need, computed):
                looked += len(parts)
                found |= {key: part for key, part in parts.items() if meets(part, need)}
                if looked >= LOOKED_AT:
                    cut.append(kind)
                    break
    return found, tuple(cut)


def _pages(catalog: "Catalog", kind: str, need: Need, computed: Computed) -> Iterator[Mapping[str, Part]]:
    """Give the parts of a kind page by page, the cheapest at the volume first."""
    from bomtui.storage.catalog.filters import Order, PriceAt

    proposal = computed.opened.snapshot.proposal
    price = PriceAt(max(proposal.vehicle.volume_per_year or 1, 1), proposal.proposal.currency)
    limits, after = list(_limits(need)), None
    while True:
        page = catalog.find(kind=kind, limit=_PAGE_ROWS, after=after, limits=limits, order=Order(price))
        yield catalog.get_many(row.key for row in page.rows)
        after = page.after
        if after is None:
            return


def _limits(need: Need) -> Iterator["Limit"]:
    """Give what the database can judge: columns of fields with one value; all else is judged part by part."""
    from bomtui.storage.catalog.filters import Limit
    from bomtui.storage.catalog.tables import FILTERS

    columns = {field: column for column, (field, side) in FILTERS.items() if not side}
    for name, limit in need.least.items():
        if name in columns:
            yield Limit(columns[name], ">=", limit)
    for name, limit in need.most.items():
        if name in columns:
            yield Limit(columns[name], "<=", limit)


def _places(computed: Computed, finding: Finding) -> tuple[str, ...]:
    """Return the places whose part would be another: the device, those that serve the load, or the module."""
    variant = computed.opened.snapshot.proposal.variants[computed.variant]
    placement: Placement | None = variant.placements.get(finding.place)
    if placement is not None:
        devices = {f"{address.module}.{address.device}" for address in map(parse_address, placement.on)}
        return tuple(sorted(devices, key=natural_key))
    module, _, ref = finding.place.partition(".")
    if module not in variant.modules:
        return ()
    if not ref:
        return (module,)
    device = ref.partition(".")[0]
    return (f"{module}.{device}",) if device in variant.modules[module].devices else ()


def _choices(basis: Basis, place: str, need: Need, meeting: Mapping[str, Part]) -> tuple[PartChoice, ...]:
    """Return the cheapest parts that meet the need in one place, without the one that is there."""
    module_id, _, ref = place.partition(".")
    if ref:
        offered = swap_choices(basis.computed, module_id, ref, meeting, basis.review).choices
        return tuple([own for own in offered if own.key in meeting and not own.is_current][:JUDGED])
    snapshot = basis.computed.opened.snapshot
    module = snapshot.proposal.variants[basis.computed.variant].modules[module_id]
    replaced = [key for key in module.items if key in snapshot.parts and snapshot.parts[key].kind in need.kinds]
    found = [own for old in replaced for own in _item_choices(basis.computed, module_id, module, old, meeting)]
    return ranked(found)[:JUDGED]


def _item_choices(
    computed: Computed, module_id: str, module: Module, old: str, meeting: Mapping[str, Part]
) -> Iterator[PartChoice]:
    where = {"variant": computed.variant, "module_id": module_id}
    quantity = module.items[old].quantity
    for key, part in meeting.items():
        if key in module.items:
            continue
        edit = Group(
            edits=(RemoveItem(**where, part=old), AddItem(**where, part=key, quantity=quantity)),
            words=f"{key} in place of {old} in {module_id}",
        )
        yield choice_of(computed, key, part, quantity_of(computed, key) + quantity.quantity, (), edit, "")


def _judged(basis: Basis, finding: Finding, place: str, choice: PartChoice) -> Remedy:
    if choice.state == "rejected" and choice.effect is None:
        return Remedy(place, choice, None, clears=False, errors=0)
    effect = choice.effect or effect_of(basis, choice.edit, choice.device, place.partition(".")[0])
    if isinstance(effect, Refusal):
        return Remedy(place, choice, effect, clears=False, errors=0)
    same = (finding.rule, finding.place)
    stands = any((own.rule, own.place) == same for own in (*effect.added, *effect.stirred))
    clears = not stands and any((own.rule, own.place) == same for own in effect.cleared)
    errors = sum(own.severity == _SEVERE for own in effect.added)
    return Remedy(place, choice, effect, clears, errors)


def _rank(remedy: Remedy) -> tuple[bool, bool, int, tuple[Decimal, ...], str]:
    effect = remedy.effect if isinstance(remedy.effect, Effect) else None
    cost = () if effect is None else (effect.cost_change,)
    return effect is None, not remedy.clears, remedy.errors, cost, remedy.choice.key
