"""Opportunities of the open proposal as the screens show them."""

from collections.abc import Callable, Iterator
from pathlib import Path

from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError, write_output
from bomtui.services.merge import Left, Merged, Opportunity, Wish, merge
from bomtui.services.merge_artefact import merge_json
from bomtui.services.present import amount_text, counted, money_text, signed_amount_text, value_text
from bomtui.services.review import Reviewed
from bomtui.services.solver.messages import News
from bomtui.tui.marks import Mark
from bomtui.tui.opportunities import Opportunities
from bomtui.tui.report import Refused, Report, ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome

SUFFIX = ".json"


def opportunities(
    reviewed: Reviewed | None, tell: Callable[[str], None], is_wanted: Callable[[], bool]
) -> Opportunities | Refused:
    """Pack the drivers of a variant anew and return what that gains.

    Args:
        reviewed: The variant; None where there is none any more.
        tell: Gets a sentence whenever the search has come further.
        is_wanted: Asked now and then whether to search on; what is found so far is returned in any case.
    """
    if reviewed is None:
        return Refused("There is no such variant any more.")
    if not reviewed.computed.opened.snapshot.proposal.variants[reviewed.computed.variant].modules:
        return Refused("There is no module yet, nothing to pack: add a module first.")
    try:
        merged = merge(reviewed, Wish(), report=lambda news: tell(_progress(news)), is_wanted=is_wanted)
    except BomtuiError as error:
        return Refused(f"{error}.")
    currency = reviewed.computed.opened.snapshot.proposal.proposal.currency
    report = Report(
        snapshot_number=reviewed.computed.opened.snapshot.number,
        title=f"Opportunities in {reviewed.computed.variant}",
        sentences=tuple(_sentences(merged, currency)),
        pages=(_gains(merged, currency), _why_not(merged), _staying(merged)),
        path=f"{reviewed.computed.opened.path.stem}-{reviewed.computed.variant}-merge{SUFFIX}",
        suffixes=(SUFFIX,),
        write=lambda path, overwrite: _write(reviewed, merged, path, overwrite=overwrite),
    )
    edits = {own.module: own.edit for own in merged.opportunities}
    return Opportunities(report, edits, merged.edit, "pack the drivers of")


def _progress(news: News) -> str:
    gap = ""
    if news.best is not None and news.best > 0:
        gap = f", at most {value_text((news.best - news.bound) / news.best, 'ratio', digits=2)} from the best"
    return f"Searching, round {news.round}{gap}."


def _sentences(merged: Merged, currency: str) -> Iterator[tuple[Mark, str]]:
    before, after = money_text(merged.before, currency), money_text(merged.after, currency)
    devices = f"{merged.devices[0]} driver devices, then {merged.devices[1]}"
    bound = "" if merged.lower_bound is None else f"; at least {amount_text(merged.lower_bound)} {currency}"
    yield "note", f"All taken: {before}, then {after}{bound}; {devices}."
    if merged.stopped_by in ("cancelled", "failed"):
        yield "check", f"The search was {'stopped' if merged.stopped_by == 'cancelled' else 'broken off'}."
    yield ("ok" if merged.proved else "check"), f"{merged.proof[:1].upper()}{merged.proof[1:]}."


def _gains(merged: Merged, currency: str) -> ReportPage:
    columns = (
        ReportColumn("Module"),
        ReportColumn("Saves", currency, "right"),
        ReportColumn("Devices", "", "right"),
        ReportColumn("New findings"),
    )
    lines: list[ReportLine] = []
    for own in merged.opportunities:
        lines.append(_gain(merged, own))
        lines += [
            ReportLine(
                f"{own.module} {number}",
                1,
                (what, "", "", ""),
                address=own.module,
                sentence=what,
            )
            for number, what in enumerate(own.what.split("; "))
        ]
    return ReportPage(
        "gains", columns, tuple(lines), state_title="State", empty="Nothing to gain: see the next pages for why not."
    )


def _gain(merged: Merged, own: Opportunity) -> ReportLine:
    del merged
    added = ", ".join(dict.fromkeys(f"{finding.rule} {finding.severity}" for finding in own.added))
    return ReportLine(
        own.module,
        0,
        (own.module, signed_amount_text(own.saving), f"{-own.devices:+d}" if own.devices else "0", added or "none"),
        has_children=True,
        mark="check" if own.added else "ok",
        word="new findings" if own.added else "clean",
        address=own.module,
        sentence=f"{own.what}; by itself; enter marks it, y takes what is marked",
    )


def _why_not(merged: Merged) -> ReportPage:
    columns = (ReportColumn("Drivers"), ReportColumn("Why not"))
    refused = [ReportLine(f"refused {own.what}", 0, (own.what, own.why), sentence=own.why) for own in merged.refused]
    pairs = [
        ReportLine(own.what, 0, (_devices(own.what), own.reason), sentence=f"{own.what}: {own.reason}")
        for own in sorted(merged.blocked, key=lambda own: ("loads" in own.short, len(own.short)))
    ]
    return ReportPage("why not", columns, (*refused, *pairs), empty="Nothing is blocked.")


def _devices(what: str) -> str:
    """Return the addresses alone: on a narrow screen there is room for them and the reason."""
    return " + ".join(word for word in what.split() if "." in word)


def _staying(merged: Merged) -> ReportPage:
    columns = (ReportColumn("Stays as it is"), ReportColumn("Why"))

    def line(own: Left) -> ReportLine:
        return ReportLine(own.what, 0, (own.what, own.why), address=own.what, sentence=own.why)

    granted = [
        ReportLine(f"granted {number}", 0, ("taken for granted", text), sentence=text)
        for number, text in enumerate(merged.conditions)
    ]
    staying = [line(own) for own in (*merged.left, *merged.unserved)]
    title = counted(len(merged.left), "driver stays", "drivers stay")
    return ReportPage("staying", columns, (*staying, *granted), empty=f"{title} as they are.")


def _write(reviewed: Reviewed, merged: Merged, path_text: str, *, overwrite: bool) -> WriteOutcome:
    path = Path(path_text).expanduser()
    if path.suffix.lower() != SUFFIX:
        return WriteOutcome("refused", f"Expected a file name that ends in {SUFFIX}, found {path.name}.")
    try:
        write_output(path, merge_json(reviewed, merged), overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    return WriteOutcome("written", f"Wrote the opportunities to {path.absolute()}.")
