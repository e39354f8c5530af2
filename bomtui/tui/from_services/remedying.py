"""Parts of the catalog that would make a finding go away, as the screens show them; loaded by who asks for them."""

from collections.abc import Iterator

from bomtui.services.effects import Effect
from bomtui.services.errors import BomtuiError
from bomtui.services.present import counted
from bomtui.services.remedies import LOOKED_AT, Remedies, Remedy, finding_of, need_words, remedies_of
from bomtui.services.review import Reviewed
from bomtui.tui.from_services.effects import cost_cell, standby_cell, state_of
from bomtui.tui.from_services.reporting import NOT_THERE
from bomtui.tui.from_services.taking import effect_lines, nowhere
from bomtui.tui.marks import Mark
from bomtui.tui.report import Refused, ReportColumn, ReportLine, ReportPage
from bomtui.tui.taking import TakingReport

NONE = "No part that is known meets this: nothing to take."


def remedies_report(
    reviewed: Reviewed | None, rule: str, place: str, catalog: str | None = None
) -> TakingReport | Refused:
    """Return the parts that would make a finding go away, each judged in its place.

    Args:
        reviewed: The variant; None where it is gone.
        rule: Rule of the finding.
        place: Its place.
        catalog: Where the catalog is; None for the usual place.
    """
    if reviewed is None:
        return NOT_THERE
    try:
        found = remedies_of(reviewed, finding_of(reviewed, rule, place), catalog)
    except BomtuiError as error:
        return Refused(f"{str(error).rstrip('.')}.")
    currency = reviewed.computed.opened.snapshot.proposal.proposal.currency
    columns = (
        ReportColumn("Part", max_width=60),
        ReportColumn("In place of"),
        ReportColumn("Cost", currency, "right"),
        ReportColumn("Standby", "uA", "right"),
        ReportColumn("Finding"),
    )
    lines = [line for own in found.remedies for line in _remedy(own, reviewed.computed.variant)]
    return TakingReport(
        snapshot_number=reviewed.computed.opened.snapshot.number,
        title=f"Parts for {rule} at {place}",
        sentences=tuple(_sentences(found)),
        pages=(ReportPage("parts", columns, tuple(lines), "State", NONE),),
        path="",
        suffixes=(),
        write=nowhere("parts remedies"),
        edits={_key(own): own.choice.edit for own in found.remedies if isinstance(own.effect, Effect)},
        whole=None,
    )


def _key(own: Remedy) -> str:
    return f"{own.choice.key} {own.place}"


def _sentences(found: Remedies) -> Iterator[tuple[Mark, str]]:
    yield "", found.finding.message
    tried = counted(len(found.remedies), "try", "tries")
    yield "", f"What would help: {need_words(found.finding)}. {counted(found.meeting, 'part', 'parts')} so, {tried}."
    if found.cut:
        yield "check", f"Only the {LOOKED_AT} cheapest of a kind were looked at: {', '.join(found.cut)}."


def _remedy(own: Remedy, variant: str) -> Iterator[ReportLine]:
    key, choice = _key(own), own.choice
    reasons = [reason.text for reason in choice.reasons]
    sentence = f"{choice.key} in place of {own.place}"
    if isinstance(own.effect, Effect):
        mark, word = state_of(own.effect, "no new finding")
        cells = (
            choice.key,
            own.place,
            cost_cell(own.effect),
            standby_cell(own.effect),
            "gone" if own.clears else "stays",
        )
        below = effect_lines(key, own.effect)
    else:
        mark, word = "over", "does not fit" if own.effect is None else "refused"
        cells = (choice.key, own.place, "", "", "")
        below = iter(()) if own.effect is None else effect_lines(key, own.effect)
        sentence = f"{sentence}: {'; '.join(reasons)}" if reasons else sentence
    yield ReportLine(
        key, 0, cells, has_children=True, mark=mark, word=word, variant=variant, address=own.place, sentence=sentence
    )
    for number, text in enumerate(reasons):
        yield ReportLine(f"{key}\x1er{number}", 1, (text,), sentence=text)
    yield from below
