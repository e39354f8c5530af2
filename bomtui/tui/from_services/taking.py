"""What the reports have in common from which parts of the catalog are taken."""

from collections.abc import Callable, Iterator

from bomtui.edit.edit import Refusal
from bomtui.services.effects import Effect
from bomtui.tui.from_services.effects import findings_of
from bomtui.tui.marks import Mark
from bomtui.tui.report import ReportLine
from bomtui.tui.view import WriteOutcome


def nowhere(command: str) -> Callable[[str, bool], WriteOutcome]:
    """Return what writes no file, but names the command that does."""
    sentence = f"This page is not written out: `bomtui {command} -o FILE` writes it."
    return lambda _path, _overwrite: WriteOutcome("refused", sentence)


def effect_lines(key: str, effect: Effect | Refusal) -> Iterator[ReportLine]:
    """Yield what taking a part does, as lines below that of the part.

    Args:
        key: Key of the line of the part.
        effect: What it does; the refusal where it cannot be taken.
    """
    if isinstance(effect, Refusal):
        yield ReportLine(f"{key}\x1eno", 1, (f"cannot be taken: {effect.sentence}",), mark="over", word="refused")
        return
    for number, own in enumerate(effect.changes):
        if own.now != own.after:
            by = f" ({own.change})" if own.change else ""
            yield ReportLine(f"{key}\x1ec{number}", 1, (f"{own.name}: {own.now} -> {own.after}{by}",))
    for word, findings in (("new", effect.added), ("gone", effect.cleared), ("other values", effect.stirred)):
        for number, (mark, text) in enumerate(findings_of(findings)):
            shown: Mark = "ok" if word == "gone" else mark
            yield ReportLine(f"{key}\x1e{word}{number}", 1, (text,), mark=shown, word=word, sentence=text)
