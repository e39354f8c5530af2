"""Drivers packed anew, for a terminal of 80 columns."""

from collections.abc import Iterator

from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.model.finding import Finding
from bomtui.services.cheaper_chips import CheaperChips
from bomtui.services.merge import NO_SAVING, Ends, Left, Merged, Opportunity
from bomtui.services.present import amount_text, corners_text, counted, money_text, signed_amount_text, value_text
from bomtui.services.review import Reviewed

NEAR_MISSES = 12
"""How many pairs that do not become one are listed."""


def merge_text(reviewed: Reviewed, merged: Merged, chips: CheaperChips, ends: Ends | None = None) -> str:
    """Write what packing, and cheaper chips beside the drivers, would gain."""
    currency = reviewed.computed.opened.snapshot.proposal.proposal.currency
    return page(
        heading_lines(reviewed, "Drivers packed"),
        list(_ends(ends, currency)),
        list(_summary(merged, currency)),
        list(_opportunities(merged, currency)),
        list(_blocked(merged)),
        list(_chips(chips, currency)),
        list(_kept_chips(chips)),
        list(_left("Left as it is", merged.left)),
        list(_left("Loads that no part serves by the rules that are kept", merged.unserved)),
        list(_conditions(merged)),
        assumption_lines(reviewed),
        caution_lines(),
    )


def _ends(ends: Ends | None, currency: str) -> Iterator[str]:
    """Write both ends side by side."""
    if ends is None:
        return
    cheap, few = ends.cheapest, ends.fewest
    rows = (
        ("", "now", "cheapest", "fewest"),
        (
            f"cost per vehicle ({currency})",
            *(amount_text(own.amount) for own in (cheap.before, cheap.after, few.after)),
        ),
        ("driver devices", *(str(number) for number in (*cheap.devices, few.devices[1]))),
        ("at least", "", *map(_bound, (cheap, few))),
        ("proved", "", *("yes" if own.proved else "no" for own in (cheap, few))),
    )
    yield "Both ends"
    for name, *figures in rows:
        yield f"  {name:<24}" + "".join(f"{figure:>14}" for figure in figures)
    if not ends.conflict:
        yield from wrapped("no conflict was found: the cheapest devices are the fewest too", 2, 4)
    for own in few.opportunities if ends.conflict else ():
        yield f"  fewest: {own.module}"
        yield from _opportunity(own, currency)
    yield from wrapped(f"fewest: {few.proof}", 2, 4)
    for left in few.refused:
        yield from wrapped(f"fewest: {left.what} stays: {_refused(left)}", 2, 4)
    yield "  what follows is the cheapest"


def _bound(merged: Merged) -> str:
    return "" if merged.lower_bound is None else amount_text(merged.lower_bound)


def _summary(merged: Merged, currency: str) -> Iterator[str]:
    yield from wrapped(f"modules: {' '.join(merged.modules)}", 0, 2)
    yield f"cost per vehicle: {money_text(merged.before, currency)}, then {money_text(merged.after, currency)}"
    yield f"driver devices: {merged.devices[0]}, then {merged.devices[1]}"
    if merged.fewest is not None:
        yield f"of those that may change at least {counted(merged.fewest, 'device is', 'devices are')} needed"
    if merged.lower_bound is not None:
        checked = "checked in whole numbers" if merged.checked_by == "integer check" else "not checked"
        yield f"at least (lower bound): {amount_text(merged.lower_bound)} {currency}, {checked}"
    if merged.solver_bound is not None and merged.solver_bound != merged.lower_bound:
        yield f"at least by the solver alone: {amount_text(merged.solver_bound)} {currency}, not checked"
    if merged.gap_ratio is not None:
        yield f"gap of the drivers in question: {value_text(merged.gap_ratio, 'ratio', digits=3)}"
    yield from wrapped(f"proved: {merged.proof}" if merged.proved else merged.proof, 0, 2)
    yield f"the search stopped by: {merged.stopped_by}; new findings not brought: {merged.keep}"


def _opportunities(merged: Merged, currency: str) -> Iterator[str]:
    if not merged.opportunities:
        yield "Opportunities: none"
        return
    yield "Opportunities, each by itself"
    for own in merged.opportunities:
        yield from _opportunity(own, currency)


def _opportunity(own: Opportunity, currency: str) -> Iterator[str]:
    yield from wrapped(f"{own.module}  saves {signed_amount_text(own.saving)} {currency}", 2, 4)
    yield from wrapped(own.what, 4, 6)
    now, after = (corners_text(figure, "current") for figure in own.standby_a)
    devices = counted(abs(own.devices), "device", "devices")
    fewer = f"{devices} {'fewer' if own.devices > 0 else 'more'}" if own.devices else "as many devices"
    yield from wrapped(f"{fewer}; standby of the vehicle {now}, then {after}", 4, 6)
    yield from _findings(own.added, own.cleared)


def _chips(chips: CheaperChips, currency: str) -> Iterator[str]:
    if not chips.changes:
        yield "Chips beside the drivers: none that costs less"
        return
    yield "Chips beside the drivers, each by itself, not in the sums above"
    for own in chips.changes:
        fewer = f", {counted(own.pieces, 'chip', 'chips')} fewer" if own.pieces else ""
        yield from wrapped(f"{own.about}  {own.kind}  saves {signed_amount_text(own.saving)} {currency}{fewer}", 2, 4)
        yield from wrapped(own.what, 4, 6)
        for text in own.unsure:
            yield from wrapped(f"to be checked: {text}", 4, 6)
        yield from _findings(own.added, own.cleared)


def _findings(added: tuple[Finding, ...], cleared: tuple[Finding, ...]) -> Iterator[str]:
    for finding in added:
        yield from wrapped(f"newly {finding.severity}  {finding.rule}  {finding.place}: {finding.message}", 4, 6)
    for finding in cleared:
        yield from wrapped(f"clears {finding.severity}  {finding.rule}  {finding.place}", 4, 6)


def _kept_chips(chips: CheaperChips) -> Iterator[str]:
    if chips.blocked:
        yield "Why not other chips"
    for own in chips.blocked:
        yield from wrapped(f"{own.what}: {own.reason}", 2, 4)


def _blocked(merged: Merged) -> Iterator[str]:
    if not (merged.refused or merged.blocked):
        return
    yield "Why not"
    for left in merged.refused:
        yield from wrapped(f"{left.what}: {_refused(left)}", 2, 4)
    near = sorted((own for own in merged.blocked if "loads" not in own.short), key=lambda own: len(own.short))
    for own in near[:NEAR_MISSES]:
        yield from wrapped(f"{own.what}: {own.reason}", 2, 4)
    if len(near) > NEAR_MISSES:
        yield f"  {counted(len(near) - NEAR_MISSES, 'more pair is', 'more pairs are')} in the JSON"
    strange = len(merged.blocked) - len(near)
    if strange:
        yield f"  {counted(strange, 'pair', 'pairs')} of which no part takes both kinds of load"


def _refused(left: Left) -> str:
    return left.why if left.why.startswith(NO_SAVING) else f"the plan would bring {left.why}"


def _left(title: str, left: tuple[Left, ...]) -> Iterator[str]:
    if left:
        yield title
    for own in left:
        yield from wrapped(f"{own.what}: {own.why}", 2, 4)


def _conditions(merged: Merged) -> Iterator[str]:
    if merged.conditions or merged.open_rules:
        yield "Taken for granted"
    for text in merged.conditions:
        yield from wrapped(text, 2, 4)
    if merged.open_rules:
        yield from wrapped(f"something unknown keeps open: {', '.join(merged.open_rules)}", 2, 4)
