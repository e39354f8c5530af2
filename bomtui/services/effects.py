"""What an edit would do to a variant, before it is taken: the difference of two rollups, and of two reviews.

    before = basis_of(computed)                 # once: reviews the variant as it is
    effect = effect_of(before, edit, device)    # an Effect, or the Refusal of the edit

One effect is one incremental rollup and one review of the edited snapshot; the snapshot itself stays as it is. Every
text is ready to print.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal, NamedTuple

from bomtui.edit.edit import Edit, Refusal, apply
from bomtui.engine import rollup as engine
from bomtui.engine.calc import PLAIN
from bomtui.engine.difference import change_a
from bomtui.model.bound import ends, exceeds
from bomtui.model.finding import Finding, Review
from bomtui.model.ids import Address
from bomtui.model.money import Total
from bomtui.model.proposal import Snapshot
from bomtui.model.quantity import display
from bomtui.model.rollup import DeviceResult, Figure, Rollup
from bomtui.services.present import (
    NOT_COMPUTED,
    UNKNOWN,
    amount_text,
    corners_text,
    days_corners_text,
    is_over,
    junction_text,
    money_text,
    unknown_text,
)
from bomtui.services.review import Answers, review
from bomtui.services.rollup import Computed

Warmth = Literal["within", "unknown", "over"]
"""How the hottest mode of a device stands against its highest junction temperature."""


@dataclass(frozen=True, slots=True)
class Basis:
    """A variant as it is, with what its rules find.

    Attributes:
        computed: The computed variant.
        review: Its review.
        answers: What rules have said of it, or of what was compared with it last.
    """

    computed: Computed
    review: Review
    answers: Answers


@dataclass(frozen=True, slots=True)
class Change:
    """One figure now and after.

    Attributes:
        name: What it is: `cost per vehicle`.
        now: As printed.
        after: As printed.
        change: The difference, signed; `-` where it is none, empty where it cannot be told.
    """

    name: str
    now: str
    after: str
    change: str


@dataclass(frozen=True, slots=True)
class DeviceHeat:
    """Junction of a device in its worst mode.

    Attributes:
        device: Address.
        junction_degc: At both corners; None where no mode gives any.
        warmth: How its worst corner, over all modes, stands against the part's highest junction temperature.
        text: As printed, typical and worst.
    """

    device: str
    junction_degc: Figure | None
    warmth: Warmth
    text: str


@dataclass(frozen=True, slots=True)
class Effect:
    """What an edit does to a variant.

    Attributes:
        cost_now: Cost per vehicle now.
        cost_after: The same after.
        cost_change: Difference of the known amounts; both totals say how much they miss.
        standby_now_a: Standby current now.
        standby_after_a: The same after.
        standby_change_a: Its change at both corners; None where a corner is not known exactly.
        days_now: Parking days now.
        days_after: The same after.
        driver_devices_now: Devices with channels for loads now.
        driver_devices_after: The same after.
        heat: The device that was asked about, after; None where none was.
        hottest: The hottest device of the module that was asked about, after; None where there is none.
        hottest_now: The same now.
        added: Findings that there are after and not now, worst first.
        cleared: Findings that there are now and not after.
        stirred: Findings that stay with other values, as they are after.
        cost_text: The change of cost for a column: `+1.2300 EUR`, `-0.5000 EUR  3 unknown`.
        standby_text: The change of standby for a column: `+1.5 uA typ, +3.2 uA max`; `unknown` where it is.
        changes: Cost, standby, parking days, driver devices and hottest device, ready to print.
    """

    cost_now: Total
    cost_after: Total
    cost_change: Decimal
    standby_now_a: Figure
    standby_after_a: Figure
    standby_change_a: tuple[float | None, float | None]
    days_now: Figure
    days_after: Figure
    driver_devices_now: int
    driver_devices_after: int
    heat: DeviceHeat | None
    hottest: DeviceHeat | None
    hottest_now: DeviceHeat | None
    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    stirred: tuple[Finding, ...]
    cost_text: str
    standby_text: str
    changes: tuple[Change, ...]


class _Differing(NamedTuple):
    """Findings of which anything is not as it was; see `Effect`."""

    added: tuple[Finding, ...]
    cleared: tuple[Finding, ...]
    stirred: tuple[Finding, ...]


def basis_of(computed: Computed, known: Review | None = None) -> Basis:
    """Review a variant as it is, unless its review is at hand."""
    answers = Answers()
    return Basis(computed, known if known is not None else review(computed, answers).review, answers)


def effect_of(before: Basis, edit: Edit, device: str = "", module: str = "") -> Effect | Refusal:
    """Compute what an edit does.

    Args:
        before: The variant as it is.
        edit: What would be done.
        device: Address of a device whose junction is asked for; empty for none.
        module: Module whose hottest device is asked for; empty for that of the device.

    Returns:
        The effect; the refusal where the edit cannot be done.
    """
    computed = before.computed
    snapshot = apply(edit, computed.opened.snapshot)
    if isinstance(snapshot, Refusal):
        return snapshot
    memo = engine.rollup(snapshot, computed.variant, computed.memo)
    after = Computed(replace(computed.opened, snapshot=snapshot), computed.variant, memo.result, memo)
    differing = _differing(before.review, review(after, before.answers).review)
    return _effect(computed, after, differing, device, module or device.partition(".")[0])


def _effect(now: Computed, after: Computed, differing: _Differing, device: str, module: str) -> Effect:
    old, new = now.rollup, after.rollup
    currency = now.opened.snapshot.proposal.proposal.currency
    change = PLAIN.money(("after", "less now"), (new.cost.total.amount, -old.cost.total.amount)).amount
    standby = (
        change_a(PLAIN, new.standby_a.typ, old.standby_a.typ),
        change_a(PLAIN, new.standby_a.max, old.standby_a.max),
    )
    hottest_now = hottest(now.opened.snapshot, old, module)
    hottest_after = hottest(after.opened.snapshot, new, module)
    effect = Effect(
        cost_now=old.cost.total,
        cost_after=new.cost.total,
        cost_change=change,
        standby_now_a=old.standby_a,
        standby_after_a=new.standby_a,
        standby_change_a=standby,
        days_now=old.parking_days,
        days_after=new.parking_days,
        driver_devices_now=old.driver_devices,
        driver_devices_after=new.driver_devices,
        heat=device_heat(after.opened.snapshot, new, device) if device else None,
        hottest=hottest_after,
        hottest_now=hottest_now,
        added=differing.added,
        cleared=differing.cleared,
        stirred=differing.stirred,
        cost_text=_cost_text(change, currency, new.cost.total.unknown),
        standby_text=_current_changes(standby) or UNKNOWN,
        changes=(),
    )
    return replace(effect, changes=_changes(effect, currency))


def _cost_text(change: Decimal, currency: str, unknown: int) -> str:
    text = f"{'+' if change > 0 else ''}{amount_text(change)} {currency}"
    return f"{text}  {unknown_text(unknown)}" if unknown else text


def _changes(effect: Effect, currency: str) -> tuple[Change, ...]:
    cost = f"{effect.cost_change:+.4f} {currency}"
    if effect.cost_now.unknown or effect.cost_after.unknown:
        cost += " of what is known"
    changes = [
        Change(
            "cost per vehicle",
            money_text(effect.cost_now, currency),
            money_text(effect.cost_after, currency),
            cost if effect.cost_change else NOT_COMPUTED,
        ),
        Change(
            "standby",
            corners_text(effect.standby_now_a, "current"),
            corners_text(effect.standby_after_a, "current"),
            _current_changes(effect.standby_change_a),
        ),
        Change("parking days", days_corners_text(effect.days_now), days_corners_text(effect.days_after), ""),
        Change(
            "driver devices",
            str(effect.driver_devices_now),
            str(effect.driver_devices_after),
            _count_change(effect.driver_devices_after - effect.driver_devices_now),
        ),
    ]
    if effect.hottest is not None or effect.hottest_now is not None:
        now, after = (
            NOT_COMPUTED if heat is None else f"{heat.device} {heat.text}"
            for heat in (effect.hottest_now, effect.hottest)
        )
        changes.append(Change("hottest device of the module", now, after, ""))
    return tuple(changes)


def _count_change(change: int) -> str:
    return f"{change:+d}" if change else NOT_COMPUTED


def _current_changes(changes: tuple[float | None, float | None]) -> str:
    texts = ["" if change is None else _signed_current(change) for change in changes]
    if not all(texts):
        return ""
    return texts[0] if texts[0] == texts[1] else f"{texts[0]} typ, {texts[1]} max"


def _signed_current(change_a: float) -> str:
    if not change_a:
        return NOT_COMPUTED
    return f"{'+' if change_a > 0 else '-'}{display(abs(change_a), 'current', digits=4, unicode=False)}"


def device_heat(snapshot: Snapshot, rollup: Rollup, device: str) -> DeviceHeat | None:
    """Return the junction of a device; None where the variant has no such device."""
    module_id, _, ref = device.partition(".")
    module = rollup.modules.get(module_id)
    found = None if module is None else next((own for own in module.devices if own.ref == ref), None)
    return None if found is None else _heat(snapshot, Address(module_id, ref), found)


def hottest(snapshot: Snapshot, rollup: Rollup, module_id: str) -> DeviceHeat | None:
    """Return the hottest device of a module, one that is surely too hot before others; None where none has a heat."""
    module = rollup.modules.get(module_id)
    if module is None:
        return None
    heats = [_heat(snapshot, Address(module_id, own.ref), own) for own in module.devices if own.worst is not None]
    known = [heat for heat in heats if heat.junction_degc is not None and heat.junction_degc.max is not None]
    over = [heat for heat in heats if heat.warmth == "over"]
    return max(over or known, key=_hotness, default=None)


def _hotness(heat: DeviceHeat) -> float:
    worst = None if heat.junction_degc is None else heat.junction_degc.max
    return float("inf") if worst is None else ends(worst)[0]


def _heat(snapshot: Snapshot, address: Address, device: DeviceResult) -> DeviceHeat:
    part = snapshot.parts.get(device.part)
    limit = None if part is None else part.junction_max_degc
    worst = device.worst
    if worst is None:
        return DeviceHeat(str(address), None, "unknown", NOT_COMPUTED)
    verdicts = [
        exceeds(value, limit) for mode in device.modes for value in (mode.junction_degc.typ, mode.junction_degc.max)
    ]
    warmth: Warmth = "unknown" if None in verdicts else "within"
    if any(is_over(mode, limit) for mode in device.modes):
        warmth = "over"
    typ, largest = (
        junction_text(value, limit, runaway=worst.runaway)
        for value in (worst.junction_degc.typ, worst.junction_degc.max)
    )
    text = typ if typ == largest else f"{typ} typ, {largest} max"
    return DeviceHeat(str(address), worst.junction_degc, warmth, text)


def _differing(before: Review, after: Review) -> _Differing:
    """Sort out the findings of which anything is not as it was.

    One of the same rule, place and weight is the same finding, whatever its values are now.
    """
    come, _ = _beyond(after.findings, before.findings, _identity)
    gone, _ = _beyond(before.findings, after.findings, _identity)
    added, stirred = _beyond(come, gone, _standing)
    cleared, _ = _beyond(gone, come, _standing)
    return _Differing(added, cleared, stirred)


def _beyond(
    findings: Iterable[Finding], others: Iterable[Finding], key_of: Callable[[Finding], tuple[str, ...]]
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Divide findings into those that have no like among others, and those that have."""
    left = Counter(map(key_of, others))
    alone, paired = [], []
    for finding in findings:
        key = key_of(finding)
        if left[key]:
            left[key] -= 1
            paired.append(finding)
        else:
            alone.append(finding)
    return tuple(alone), tuple(paired)


def _standing(finding: Finding) -> tuple[str, ...]:
    return finding.rule, finding.place, finding.outcome, finding.severity


def _identity(finding: Finding) -> tuple[str, ...]:
    """Tell findings apart as acceptances do: by rule, place and both values as printed, whatever else they name.

    What is undecided before and after stays one finding, however much of it is known.
    """
    from bomtui.rules.wording import printed

    measured, limit = (printed(value, finding.unit) for value in (finding.measured, finding.limit))
    if finding.outcome == "undecided":
        measured = UNKNOWN
    return finding.rule, finding.place, finding.outcome, measured, limit
