"""Why a load does not fit somewhere, or a part does not suit the customer, in words with the two values compared."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from bomtui.engine.common_cause import ServedBy, is_apart, served_by
from bomtui.engine.constraints import breaches
from bomtui.engine.fit import Comparison
from bomtui.model.bound import Value
from bomtui.model.finding import Finding
from bomtui.model.ids import Address, natural_key, parse_address
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal
from bomtui.model.variant import Variant

_SENTENCES: Mapping[str, str] = {
    "findings": "findings that it brings are {measured}, wanted are {limit}",
    "channels": "channels: {measured}, needed: {limit}",
    "taken": "{measured} takes a channel of it without naming which",
    "side": "drives {measured}, the load is {limit}",
    "supply": "made for {measured}, the vehicle has {limit}",
    "current": "{measured} on a channel for {limit}",
    "stage": "{measured}, a pre-driver needs {limit}",
    "pwm": "PWM of {measured}, at most {limit}",
    "regulation": "{measured}, the load needs a {limit}",
    "string": "string of {measured}, the limit is {limit}",
    "output": "makes {measured}, its rail needs {limit}",
    "parallel": "{measured} in parallel, at most {limit}",
    "diagnosis": "reports by {measured}, {limit} must be seen",
    "safety": "declared for {measured}, the load asks {limit}",
    "standin": "shares {measured} with the other load of its stand-in pair, wanted is {limit}",
    "forbidden": "{measured}, the customer asks {limit}",
    "maker": "made by {measured}, the customer asks {limit}",
    "grade": "grade {measured}, the customer asks {limit}",
    "package": "package {measured}, the customer asks {limit}",
}

_UNDECIDED: Mapping[str, str] = {
    "findings": "what findings it would bring is {measured}",
    "channels": "how many channels it has is {measured}, needed are {limit}",
    "taken": "which channel of it {measured} takes is unknown",
    "side": "what it drives is {measured}, the load is {limit}",
    "supply": "the supply that it is made for is {measured}, that of the vehicle is {limit}",
    "current": "the current of the load is {measured}, the limit of a channel is {limit}",
    "stage": "it has {measured} behind it yet, {limit} have to be added",
    "pwm": "the PWM frequency of the load is {measured}, the highest of the part is {limit}",
    "regulation": "what it regulates a current with is {measured}, the load needs a {limit}",
    "string": "the voltage of the string is {measured}, the limit of the driver is {limit}",
    "output": "the voltage that it makes is {measured}, its rail needs {limit}",
    "parallel": "{measured} in parallel, and how many it allows is {limit}",
    "diagnosis": "what it reports by is {measured}, and whether that shows {limit} is unknown",
    "safety": "what it is declared for is {measured}, the load asks {limit}",
    "standin": "what it shares with the other load of its stand-in pair is {measured}, wanted is {limit}",
    "forbidden": "the makers of {measured} and of the part in '{limit}' are not both known",
    "maker": "its maker is {measured}, the customer asks {limit}",
    "grade": "its grade is {measured}, the customer asks {limit}",
    "package": "its package is {measured}, the customer asks {limit}",
}
"""What is said where something unknown decides: what each of the two values is, so that one sees which is missing."""

State = Literal["fits", "undecided", "rejected"]
"""What speaks against a place or part: nothing; only what is unknown; something certain."""

STATES: tuple[State, ...] = ("fits", "undecided", "rejected")
NO_COMMON_DEVICE = "no common device"


@dataclass(frozen=True, slots=True)
class Reason:
    """One thing that speaks against a place or a part.

    Attributes:
        check: What was compared, such as `current`.
        measured: What there is, as findings print it.
        limit: What it is held against, as findings print it.
        certain: Whether it surely does not fit; False where something unknown decides.
        text: Both in one line: `7.933 A on a channel for 5.2 A`, `not decided: the current of the load is unknown, the
            limit of a channel is 1.5 A`.
        load_id: The load that it is about; empty where that is clear, or where it is about no load.
    """

    check: str
    measured: str
    limit: str
    certain: bool
    text: str
    load_id: str = ""


def reason(
    check: str, measured: Value | str, limit: Value | str, unit: str = "", *, certain: bool = True, load_id: str = ""
) -> Reason:
    """Word one reason; the values as findings and acceptances print them."""
    # Rules are loaded where somebody asks for findings or reasons, not at the start of the program.
    from bomtui.rules.wording import printed

    one, other = printed(measured, unit), printed(limit, unit)
    text = _SENTENCES[check] if certain else f"not decided: {_UNDECIDED[check]}"
    text = text.format(measured=one, limit=other)
    return Reason(check, one, other, certain, f"{load_id}: {text}" if load_id else text, load_id)


def fit_reasons(misfits: Iterable[Comparison], load_id: str = "") -> tuple[Reason, ...]:
    """Word what the comparison of a load with its channels says against them, naming the load where it is given."""
    return tuple(
        reason(own.check, own.measured, own.limit, own.unit, certain=own.fits is False, load_id=load_id)
        for own in misfits
        if not own.fits
    )


def finding_reasons(findings: Iterable[Finding]) -> tuple[Reason, ...]:
    """Word what findings say that a part or place would bring: errors are certain, what is undecided is not.

    Warnings and hints that are decided speak against nothing.
    """
    from bomtui.rules.wording import printed

    return tuple(
        Reason(
            found.rule,
            printed(found.measured, found.unit),
            printed(found.limit, found.unit),
            certain=found.outcome == "failed",
            text=found.message,
        )
        for found in findings
        if found.outcome == "undecided" or found.severity == "error"
    )


def part_reasons(key: str, part: Part | None, proposal: Proposal, parts: Mapping[str, Part]) -> tuple[Reason, ...]:
    """Word what the customer's constraints say against a part.

    Args:
        key: Its catalog key.
        part: Its data.
        proposal: For the constraints.
        parts: Frozen and offered parts by key.
    """
    found = breaches(key, part, proposal.constraints, parts)
    return tuple(reason(own.check, own.measured, own.limit, certain=own.certain) for own in found)


def state_of(reasons: Iterable[Reason]) -> State:
    """Tell what reasons make of a place or part."""
    certain = [own.certain for own in reasons]
    if not certain:
        return "fits"
    return "rejected" if any(certain) else "undecided"


@dataclass(frozen=True, slots=True)
class Partner:
    """The other load of a stand-in pair, and what serves it."""

    pair: str
    load_id: str
    served: ServedBy


def partners_of(proposal: Proposal, variant: Variant, load_id: str) -> tuple[Partner, ...]:
    """Return the placed loads that form a stand-in pair with a load."""
    found = []
    for pair_id in sorted(proposal.pairs, key=natural_key):
        pair = proposal.pairs[pair_id]
        if load_id not in {pair.primary, pair.stand_in} or pair.primary == pair.stand_in:
            continue
        other = pair.stand_in if load_id == pair.primary else pair.primary
        placement = variant.placements.get(other)
        if placement is not None:
            served = served_by(variant, other, map(parse_address, placement.on), placement.stage)
            found.append(Partner(pair_id, other, served))
    return tuple(found)


def pair_reasons(
    partners: Iterable[Partner], variant: Variant, load_id: str, on: Iterable[Address], stage: Iterable[str]
) -> tuple[Reason, ...]:
    """Word what stand-in pairs say against a place: a device that serves the other load of a pair.

    Args:
        partners: `partners_of` the load.
        variant: The variant.
        load_id: The load.
        on: Where it would be placed.
        stage: FETs that would carry its current.
    """
    partners = tuple(partners)
    if not partners:
        return ()
    own = served_by(variant, load_id, on, stage)
    found = []
    for partner in partners:
        apart = is_apart(own, partner.served)
        if apart is False:
            from bomtui.rules.wording import listed

            common = listed(sorted(own.devices & partner.served.devices, key=natural_key))
            found.append(reason("standin", common, NO_COMMON_DEVICE))
        elif apart is None:
            found.append(reason("standin", None, NO_COMMON_DEVICE, certain=False))
    return tuple(found)
