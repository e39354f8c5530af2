"""Modules that become one, for a terminal of 80 columns."""

from collections.abc import Iterator

from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import wrapped
from bomtui.model.finding import Finding
from bomtui.services.merge_modules import ModuleOpportunity, ModulesMerged
from bomtui.services.merge_modules_words import changes, elements, how
from bomtui.services.present import counted, money_text, signed_amount_text
from bomtui.services.review import Reviewed

PAIR = 2


def merge_modules_text(reviewed: Reviewed, merged: ModulesMerged) -> str:
    """Write which modules become one."""
    currency = reviewed.computed.opened.snapshot.proposal.proposal.currency
    return page(
        heading_lines(reviewed, "Modules merged"),
        list(_summary(merged, currency)),
        list(_opportunities(merged, currency)),
        list(_together(merged, currency)),
        list(_why_not(merged)),
        assumption_lines(reviewed),
        caution_lines(),
    )


def _summary(merged: ModulesMerged, currency: str) -> Iterator[str]:
    yield from wrapped(f"modules: {' '.join(merged.modules)}", 0, 2)
    yield f"cost per vehicle: {money_text(merged.before, currency)}, then {money_text(merged.after, currency)}"
    yield from wrapped(merged.words, 0, 2)
    yield f"the search stopped by: {merged.stopped_by}; new findings not brought: {merged.keep}"


def _opportunities(merged: ModulesMerged, currency: str) -> Iterator[str]:
    if not merged.opportunities:
        yield "Opportunities: none"
        return
    yield "Opportunities, each by itself"
    for own in merged.opportunities:
        yield from _opportunity(own, currency)


def _opportunity(own: ModuleOpportunity, currency: str) -> Iterator[str]:
    yield from wrapped(f"{own.name}  saves {signed_amount_text(own.saving)} {currency}", 2, 4)
    for sentence in how(own):
        yield from wrapped(sentence, 4, 6)
    yield from wrapped(f"saves of it: {elements(own)}", 4, 6)
    yield from wrapped("; ".join(changes(own)), 4, 6)
    yield from _findings(own.added, own.cleared)


def _findings(added: tuple[Finding, ...], cleared: tuple[Finding, ...]) -> Iterator[str]:
    for finding in added:
        yield from wrapped(f"newly {finding.severity}  {finding.rule}  {finding.place}: {finding.message}", 4, 6)
    if cleared:
        rules = dict.fromkeys(f"{own.rule} {own.place}" for own in cleared)
        yield from wrapped(f"clears {counted(len(cleared), 'finding', 'findings')}: {', '.join(rules)}", 4, 6)


def _together(merged: ModulesMerged, currency: str) -> Iterator[str]:
    whole = merged.together
    if whole is None:
        return
    yield "Together, as one step"
    sets = ", ".join("+".join(own) for own in whole.sets)
    yield from wrapped(f"{sets}  save {signed_amount_text(whole.saving)} {currency}", 2, 4)
    yield from _findings(whole.added, whole.cleared)
    for modules, why in merged.refused:
        yield from wrapped(f"without {'+'.join(modules)}: {why}", 4, 6)


def _why_not(merged: ModulesMerged) -> Iterator[str]:
    pairs = [own for own in merged.blocked if len(own.modules) == PAIR]
    if pairs:
        yield "Why not"
    for own in pairs:
        unsure = "" if own.is_proved else " (not every plan was looked at)"
        yield from wrapped(f"{'+'.join(own.modules)}: {own.reason}{unsure}", 2, 4)
    larger = len(merged.blocked) - len(pairs)
    if larger:
        yield f"  {counted(larger, 'larger set is', 'larger sets are')} in the JSON"
