"""Chips beside the drivers as the opportunities screen shows them, and what several opportunities bring together."""

from collections.abc import Callable, Iterator, Mapping, Sequence

from bomtui.edit.edit import Refusal
from bomtui.services.cheaper_chips import CheaperChips, ChipChange
from bomtui.services.merge import Opportunity
from bomtui.services.merge_modules import ModuleOpportunity
from bomtui.services.present import signed_amount_text
from bomtui.services.review import Reviewed
from bomtui.services.taken_together import taken_together
from bomtui.tui.report import ReportColumn, ReportLine, ReportPage

LISTED = 3
"""How many findings are named where several come."""


def chip_keys(chips: CheaperChips) -> Mapping[str, ChipChange]:
    """Return the changes by the keys of their lines."""
    return {f"chip-{number}": own for number, own in enumerate(chips.changes, 1)}


def chips_page(chips: CheaperChips, currency: str) -> ReportPage:
    """Return the page of chips beside the drivers."""
    columns = (
        ReportColumn("Chip"),
        ReportColumn("Saves", currency, "right"),
        ReportColumn("Chips", "", "right"),
        ReportColumn("New findings"),
    )
    lines: list[ReportLine] = []
    for key, own in chip_keys(chips).items():
        added = ", ".join(dict.fromkeys(f"{finding.rule} {finding.severity}" for finding in own.added))
        sure = not (own.unsure or own.added)
        lines.append(
            ReportLine(
                key,
                0,
                (
                    own.about,
                    signed_amount_text(own.saving),
                    f"{-own.pieces:+d}" if own.pieces else "0",
                    added or "none",
                ),
                has_children=True,
                mark="ok" if sure else "check",
                word="clean" if sure else "to be checked" if own.unsure else "new findings",
                address=own.about if " " not in own.about else own.module,
                sentence=f"{own.what}; by itself; enter marks it, y takes what is marked",
            )
        )
        lines += [
            ReportLine(f"{key} {number}", 1, (text, "", "", ""), address=own.module, sentence=text)
            for number, text in enumerate(_lines(own))
        ]
    return ReportPage(
        "chips", columns, tuple(lines), state_title="State", empty="No other chip costs less: see why not."
    )


def _lines(own: ChipChange) -> Iterator[str]:
    yield from own.what.split("; ")
    for text in own.unsure:
        yield f"to be checked: {text}"


def joint_sentence(
    reviewed: Reviewed,
    found: Sequence[Opportunity | ChipChange | ModuleOpportunity],
    moved: Callable[[str], str | None] | None = None,
) -> str:
    """Say what several opportunities newly bring together beyond what each says; empty where it is nothing.

    Args:
        reviewed: The variant.
        found: The opportunities.
        moved: Where the subjects of findings are after all of them; None where they move none.
    """
    announced = [finding for own in found for finding in own.added]
    added = taken_together(reviewed, [own.edit for own in found], announced, moved=moved)
    if isinstance(added, Refusal):
        return f"They cannot be taken together: {added.sentence}."
    if not added:
        return ""
    named = [f"{own.rule} {own.severity} at {own.place}" for own in added[:LISTED]]
    more = f" and {len(added) - LISTED} more" if len(added) > LISTED else ""
    return f"Together they newly bring {', '.join(named)}{more}."
