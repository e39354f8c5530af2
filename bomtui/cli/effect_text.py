"""What an edit would do to a variant, for a terminal and as a record."""

from collections.abc import Iterator

from bomtui.cli.layout import wrapped
from bomtui.edit.edit import Refusal
from bomtui.model.finding import Finding
from bomtui.services.effects import Effect
from bomtui.services.present import counted


def effect_lines(effect: Effect | Refusal, *, stirred: bool = True) -> Iterator[str]:
    """Give the lines of an effect, for 80 columns.

    Args:
        effect: The effect, or why there is none.
        stirred: Whether findings that stay with other values are written out; otherwise they are counted.
    """
    if isinstance(effect, Refusal):
        yield from wrapped(f"cannot be taken: {effect.sentence}", 2, 4)
        return
    moved = [own for own in effect.changes if own.now != own.after]
    yield "  effect on the variant" if moved else "  no cost, current, time or count of the variant changes"
    for own in moved:
        by = f" ({own.change})" if own.change else ""
        yield from wrapped(f"{own.name}: {own.now} -> {own.after}{by}", 4, 6)
    yield from finding_lines("new", effect.added)
    yield from finding_lines("gone", effect.cleared)
    if stirred:
        yield from finding_lines("with other values", effect.stirred)
    elif effect.stirred:
        yield f"  with other values: {counted(len(effect.stirred), 'finding', 'findings')}"


def finding_lines(word: str, findings: tuple[Finding, ...]) -> Iterator[str]:
    """Give findings of an effect, each after a word that says what became of it."""
    for finding in findings:
        yield from wrapped(f"{word}: {finding.severity}  {finding.rule}  {finding.message}", 2, 4)


def effect_record(effect: Effect | Refusal) -> dict[str, object]:
    """Return an effect for JSON."""
    if isinstance(effect, Refusal):
        return {"refused": effect.sentence}
    return {
        "cost_change": str(effect.cost_change),
        "cost_unknown": effect.cost_after.unknown,
        "changes": effect.changes,
        **{
            word: [
                {"rule": own.rule, "severity": own.severity, "place": own.place, "message": own.message}
                for own in found
            ]
            for word, found in (("added", effect.added), ("cleared", effect.cleared), ("other_values", effect.stirred))
        },
    }
