"""Candidates as rows of a sheet and as text: plain data, no screen library."""

from collections.abc import Sequence
from dataclasses import replace

from bomtui.tui.candidates import Candidate, Candidates, Subject
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.text import fit, width_of, wrap
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.rows import Row

REJECTED_KEY = "\x1e"
"""Key of the row that holds what does not do; no candidate has it."""
MONEY_TITLES = frozenset({"Cost", "Unit price"})
COLUMNS: dict[Subject, tuple[Column, ...]] = {
    "place": (
        Column("Place", max_width=64),
        Column("Cost", align="right"),
        Column("Standby", "uA", align="right"),
        Column("Tj max", "degC", align="right"),
        Column("Free", align="right"),
    ),
    "part": (
        Column("Part", max_width=64),
        Column("Unit price", align="right"),
        Column("Cost", align="right"),
        Column("Standby", "uA", align="right"),
        Column("Tj max", "degC", align="right"),
    ),
    "zone": (
        Column("Zone", max_width=64),
        Column("Ambient", "degC", align="right"),
        Column("Cost", align="right"),
        Column("Standby", "uA", align="right"),
    ),
    "module": (
        Column("Module", max_width=64),
        Column("Loads", align="right"),
        Column("Cost", align="right"),
        Column("Standby", "uA", align="right"),
    ),
    "volume": (
        Column("Vehicles a year", max_width=64),
        Column("Cost", align="right"),
    ),
}
"""Columns of each subject; money gets its unit from the proposal. Cost and standby are changes, so they have a sign."""
MOST_NEED_LINES = 3
MOST_NEED_LINES_TALL = 8


def columns_of(subject: Subject, currency: str) -> tuple[Column, ...]:
    """Columns of the sheet."""
    return tuple(
        replace(column, unit=currency) if column.title in MONEY_TITLES else column for column in COLUMNS[subject]
    )


def found(candidates: Candidates, word: str) -> tuple[Candidate, ...]:
    """The candidates whose title, notes or state hold all words, whatever their case; all of them without a word."""
    words = word.casefold().split()
    return tuple(
        own
        for own in candidates.listed
        if all(piece in " ".join((own.title, own.word, *own.notes, *own.reasons)).casefold() for piece in words)
    )


def candidate_rows(listed: Sequence[Candidate]) -> list[Row]:
    """Rows of candidates: what does or may do, then one row that holds what does not."""
    rows = [_row(own, 0) for own in listed if not own.is_rejected]
    rejected = [own for own in listed if own.is_rejected]
    if rejected:
        title = f"rejected: {len(rejected)}"
        rows.append(Row(REJECTED_KEY, 0, (title,), has_children=True, mark="note", word="with reasons"))
        rows += [_row(own, 1) for own in rejected]
    return rows


def _row(own: Candidate, depth: int) -> Row:
    return Row(own.key, depth, (own.title, *own.cells), mark=own.mark, word=own.word)


def need_lines(need: Sequence[str], width: int, *, is_tall: bool) -> list[str]:
    """The need in as many lines as there is room for; what is left out is counted."""
    most = MOST_NEED_LINES_TALL if is_tall else MOST_NEED_LINES
    lines = [line for text in need for line in wrap(text, width, hang=2)]
    if len(lines) > most:
        lines = [*lines[: most - 1], f"and {len(lines) - most + 1} more lines"]
    return lines


def candidate_lines(own: Candidate, glyphs: Glyphs) -> list[tuple[str, str]]:
    """Everything known of a candidate: state, reasons, figures now and after, findings that come and go."""
    lines: list[tuple[str, str]] = [(own.title, "strong"), (glyphs.state(own.mark, own.word), own.mark)]
    lines += [(f"  {reason}", "") for reason in own.reasons]
    if own.is_costed:
        lines += [("If you take it, now -> after:", "strong"), *_change_lines(own)]
        lines += _finding_lines("Findings cleared", own.cleared, glyphs)
        lines += _finding_lines("Findings that come", own.added, glyphs)
        lines += _finding_lines("Findings that stay, with other values", own.stirred, glyphs)
    elif own.edit is None:
        lines.append(("It cannot be taken.", "quiet"))
    elif own.is_rejected:
        lines.append(("What it would change is not computed.", "quiet"))
    else:
        lines.append(("What it changes is being computed.", "quiet"))
    if own.notes:
        lines += [("", ""), *((note, "quiet") for note in own.notes)]
    return lines


def _change_lines(own: Candidate) -> list[tuple[str, str]]:
    width = max((width_of(change.name) for change in own.changes), default=0)
    lines = []
    for change in own.changes:
        same = change.now == change.after
        text = change.now if same else f"{change.now} -> {change.after}"
        tail = "   stays" if same else f"   {change.change}" if change.change else ""
        lines.append((f"{fit(change.name, width)}  {text}{tail}", ""))
    return lines


def _finding_lines(title: str, findings: Sequence[tuple[str, str]], glyphs: Glyphs) -> list[tuple[str, str]]:
    if not findings:
        return [(f"{title}: none", "")]
    head = (f"{title}: {len(findings)}", "strong")
    return [head, *((f"{glyphs.marks[mark]} {text}".strip(), mark) for mark, text in findings)]  # type: ignore[index]


def listing_text(candidates: Candidates, listed: Sequence[Candidate]) -> str:
    """How many there are, and what must be known of the list."""
    rejected = sum(own.is_rejected for own in listed)
    pieces = [f"{len(listed) - rejected} to choose from, {rejected} rejected"]
    if len(listed) < len(candidates.listed):
        pieces.append(f"{len(candidates.listed) - len(listed)} hidden by what is looked for")
    return "; ".join(filter(None, (*pieces, candidates.text)))
