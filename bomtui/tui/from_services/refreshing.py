"""Frozen parts of the open proposal beside the catalog; loaded by who asks for it."""

from collections.abc import Iterator

from bomtui.edit.edit import Refusal
from bomtui.services.effects import Effect
from bomtui.services.errors import BomtuiError
from bomtui.services.present import counted
from bomtui.services.refresh import WORDS, PartRefresh, Refresh, compare_with_catalog, taking
from bomtui.services.review import Reviewed
from bomtui.tui.from_services.effects import cost_cell, standby_cell, state_of
from bomtui.tui.from_services.reporting import NOT_THERE
from bomtui.tui.from_services.taking import effect_lines, nowhere
from bomtui.tui.marks import Mark
from bomtui.tui.report import Refused, ReportColumn, ReportLine, ReportPage
from bomtui.tui.taking import TakingReport

UNKNOWN = "unknown"
PART = "part "
SAME = "The catalog says the same of every part that it has: nothing to take."
CHANGED_EMPTY = "Nothing to take: the last page names all others."
KEPT = "The proposal keeps what it was quoted with until a part is taken; u takes that back."


def refresh_report(reviewed: Reviewed | None, place: str | None = None) -> TakingReport | Refused:
    """Return what the catalog says now of every frozen part, and what taking it does to the variant.

    Args:
        reviewed: The variant; None where it is gone.
        place: Where the catalog is; None for the usual place.
    """
    if reviewed is None:
        return NOT_THERE
    try:
        refresh = compare_with_catalog(reviewed, place)
    except BomtuiError as error:
        return Refused(f"{error}.")
    variant = reviewed.computed.variant
    currency = reviewed.computed.opened.snapshot.proposal.proposal.currency
    return TakingReport(
        snapshot_number=reviewed.computed.opened.snapshot.number,
        title=f"Frozen parts beside the catalog: {counted(len(refresh.changed), 'differs', 'differ')}",
        sentences=tuple(_sentences(refresh)),
        pages=(
            _page("changed", refresh, variant, currency),
            ReportPage("all together", _columns("All of them", currency), tuple(_whole(refresh)), "State", SAME),
            ReportPage("others", (ReportColumn("Part", max_width=40), ReportColumn("The catalog")),
                       tuple(_others(refresh))),
        ),
        path="",
        suffixes=(),
        write=nowhere("parts refresh"),
        edits={f"{PART}{own.key}": own.edit for own in refresh.changed if not isinstance(own.effect, Refusal)},
        whole=None if refresh.together is None or isinstance(refresh.together, Refusal) else taking(refresh.changed),
    )  # fmt: skip


def _sentences(refresh: Refresh) -> Iterator[tuple[Mark, str]]:
    if refresh.missing:
        count = counted(len(refresh.missing), "part", "parts")
        yield "unknown", f"The catalog does not have {count} of the proposal, which keeps what it has of them."
    yield "", KEPT if refresh.changed else SAME


def _columns(name: str, currency: str) -> tuple[ReportColumn, ...]:
    return (
        ReportColumn(name, max_width=60),
        ReportColumn("Cost", currency, "right"),
        ReportColumn("Standby", "uA", "right"),
        ReportColumn("Changed"),
    )


def _page(title: str, refresh: Refresh, variant: str, currency: str) -> ReportPage:
    lines = [line for own in refresh.changed for line in _part(own, variant)]
    return ReportPage(title, _columns("Part", currency), tuple(lines), "State", CHANGED_EMPTY)


def _part(own: PartRefresh, variant: str) -> Iterator[ReportLine]:
    key = f"{PART}{own.key}"
    groups = [words for group, words in WORDS.items() if any(change.group == group for change in own.changes)]
    used = ", ".join(own.places) or "not used in this variant"
    yield _head(key, own.key, own.effect, ", ".join(groups), variant, own.places[0] if own.places else "",
                f"{own.key}: {used}")  # fmt: skip
    for number, change in enumerate(own.changes):
        text = f"{change.field}: {change.before or UNKNOWN} -> {change.now or UNKNOWN}"
        yield ReportLine(f"{key}\x1e{number}", 1, (text,), sentence=text)
    yield from effect_lines(key, own.effect)


def _head(
    key: str, name: str, effect: Effect | Refusal, groups: str, variant: str, place: str, sentence: str
) -> ReportLine:
    address = place.removesuffix(" (item)")
    if isinstance(effect, Refusal):
        cells: tuple[str, ...] = (name, "", "", groups)
        mark: Mark = "over"
        word, sentence = "refused", f"{sentence}. {effect.sentence}."
    else:
        cells = (name, cost_cell(effect), standby_cell(effect), groups)
        mark, word = state_of(effect, "no new finding")
    return ReportLine(key, 0, cells, has_children=True, mark=mark, word=word, variant=variant, address=address,
                      sentence=sentence)  # fmt: skip


def _whole(refresh: Refresh) -> Iterator[ReportLine]:
    if refresh.together is not None:
        count = counted(len(refresh.changed), "part", "parts")
        yield _head("all", count, refresh.together, "", "", "", f"All {count} that differ, taken as one step")
        yield from effect_lines("all", refresh.together)


def _others(refresh: Refresh) -> Iterator[ReportLine]:
    for words, keys in (("does not have it", refresh.missing), ("says the same", refresh.same)):
        for key in keys:
            yield ReportLine(key, 0, (key, words), sentence=f"{key}: the catalog {words}.")
