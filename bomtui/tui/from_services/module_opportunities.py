"""Modules of the open proposal that could become one, as the screens show them."""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path

from bomtui.model.finding import Finding
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError, write_output
from bomtui.services.merge_modules import ModuleOpportunity, ModulesMerged, ModulesWish, Step, merge_modules
from bomtui.services.merge_modules_artefact import merge_modules_json
from bomtui.services.merge_modules_words import changes, elements, how
from bomtui.services.present import counted, money_text, signed_amount_text
from bomtui.services.review import Reviewed
from bomtui.tui.from_services.chip_changes import joint_sentence
from bomtui.tui.marks import Mark
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Refused, Report, ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome

SUFFIX = ".json"
FEWEST = 2
"""Fewer modules than these cannot become one."""


def module_opportunities(
    reviewed: Reviewed | None, tell: Callable[[str], None], is_wanted: Callable[[], bool]
) -> Opportunities | Refused:
    """Try which modules of a variant become one and return what that gains.

    Args:
        reviewed: The variant; None where there is none any more.
        tell: Gets a sentence whenever the search has come further.
        is_wanted: Asked now and then whether to search on; what is found so far is returned in any case.
    """
    if reviewed is None:
        return Refused("There is no such variant any more.")
    opened = reviewed.computed.opened
    modules = opened.snapshot.proposal.variants[reviewed.computed.variant].modules
    if len(modules) < FEWEST:
        return Refused(f"{counted(len(modules), 'module is', 'modules are')} there: nothing can become one.")
    try:
        merged = merge_modules(reviewed, ModulesWish(), report=lambda step: tell(_progress(step)), is_wanted=is_wanted)
    except BomtuiError as error:
        return Refused(f"{error}.")
    currency = opened.snapshot.proposal.proposal.currency
    report = Report(
        snapshot_number=opened.snapshot.number,
        title=f"Fewer modules in {reviewed.computed.variant}",
        sentences=tuple(_sentences(merged, currency)),
        pages=(_gains(merged, currency), _why_not(merged), _together(merged)),
        path=f"{opened.stem}-{reviewed.computed.variant}-merge-modules{SUFFIX}",
        suffixes=(SUFFIX,),
        write=lambda path, overwrite: _write(reviewed, merged, path, overwrite=overwrite),
    )
    found = {own.name: own for own in merged.opportunities}

    def together(keys: tuple[str, ...]) -> str:
        chosen = [found[key] for key in keys]
        return joint_sentence(reviewed, chosen, lambda place: _moved(chosen, place))

    whole = None if merged.together is None else merged.together.edit
    return Opportunities(report, {key: own.edit for key, own in found.items()}, whole, together)


def _moved(found: Sequence[ModuleOpportunity], place: str) -> str | None:
    """Where a place is after opportunities that have no module in common."""
    moved: str | None = place
    for own in found:
        moved = None if moved is None else own.moved(moved)
    return moved


def _progress(step: Step) -> str:
    return f"Trying sets of modules: {step.tried} of {max(step.tried, step.known)}, {step.found} become one."


def _sentences(merged: ModulesMerged, currency: str) -> Iterator[tuple[Mark, str]]:
    before, after = money_text(merged.before, currency), money_text(merged.after, currency)
    whole = merged.together
    if whole is None:
        yield "note", f"{before}; no modules become one with a saving."
    else:
        sets = ", ".join("+".join(own) for own in whole.sets)
        yield "note", f"All taken ({sets}): {before}, then {after}."
    if merged.stopped_by == "cancelled":
        yield "check", "The search was stopped."
    yield ("ok" if merged.every_set else "check"), f"{merged.words[:1].upper()}{merged.words[1:]}."


def _gains(merged: ModulesMerged, currency: str) -> ReportPage:
    columns = (
        ReportColumn("Modules"),
        ReportColumn("Saves", currency, "right"),
        ReportColumn("Devices", "", "right"),
        ReportColumn("Wire", "m", "right"),
        ReportColumn("New findings"),
    )
    lines = tuple(line for own in merged.opportunities for line in _lines(own))
    return ReportPage(
        "gains", columns, lines, state_title="State", empty="Nothing to gain: see the next page for why not."
    )


def _lines(own: ModuleOpportunity) -> Iterator[ReportLine]:
    added = ", ".join(dict.fromkeys(f"{finding.rule} {finding.severity}" for finding in own.added))
    fewer = own.after.devices - own.before.devices
    wire = own.after.wire_length_m - own.before.wire_length_m
    yield ReportLine(
        own.name,
        0,
        (own.name, signed_amount_text(own.saving), f"{fewer:+d}" if fewer else "0", _signed(wire), added or "none"),
        has_children=True,
        mark="check" if own.added or own.conditions else "ok",
        word="new findings" if own.added else "granted" if own.conditions else "clean",
        address=own.into,
        sentence=f"{next(how(own))}; by itself; enter marks it, y takes what is marked",
    )
    sentences = (*how(own), f"saves of it: {elements(own)}", *changes(own), *map(_said, own.added))
    for number, sentence in enumerate(sentences):
        yield ReportLine(f"{own.name} {number}", 1, (sentence,), address=own.into, sentence=sentence)


def _signed(metres: Decimal) -> str:
    return f"{metres:+f}" if metres else "0"


def _said(finding: Finding) -> str:
    return f"newly {finding.severity}: {finding.rule} {finding.place}: {finding.message}"


def _why_not(merged: ModulesMerged) -> ReportPage:
    # Name and reason in one column: a reason is as long as the screen is wide.
    columns = (ReportColumn("Modules that stay apart, and why"),)
    lines = [_line(f"refused {'+'.join(own)}", f"{'+'.join(own)}: {why}") for own, why in merged.refused]
    for own in merged.blocked:
        name = "+".join(own.modules)
        unsure = "" if own.is_proved else " (not every plan was looked at)"
        lines.append(_line(name, f"{name}: {own.reason}{unsure}"))
    return ReportPage("why not", columns, tuple(lines), empty="Nothing is blocked.")


def _together(merged: ModulesMerged) -> ReportPage:
    whole = merged.together
    lines: list[ReportLine] = []
    if whole is not None:
        lines += [_line("+".join(own), f"{'+'.join(own)} become one") for own in whole.sets]
        lines += [_line(f"added {number}", _said(own)) for number, own in enumerate(whole.added)]
        lines += [
            _line(f"cleared {number}", f"clears {own.severity}: {own.rule} {own.place}")
            for number, own in enumerate(whole.cleared)
        ]
    columns = (ReportColumn("All taken, and what it brings"),)
    return ReportPage("together", columns, tuple(lines), empty="Nothing is taken together.")


def _line(key: str, sentence: str) -> ReportLine:
    return ReportLine(key, 0, (sentence,), sentence=sentence)


def _write(reviewed: Reviewed, merged: ModulesMerged, path_text: str, *, overwrite: bool) -> WriteOutcome:
    path = Path(path_text).expanduser()
    if path.suffix.lower() != SUFFIX:
        return WriteOutcome("refused", f"Expected a file name that ends in {SUFFIX}, found {path.name}.")
    try:
        write_output(path, merge_modules_json(reviewed, merged), overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    return WriteOutcome("written", f"Wrote the opportunities to {path.absolute()}.")
