"""What stands around the sheet, as coloured texts: title, meters, findings; plain data, no screen library."""

from collections import Counter
from collections.abc import Sequence

from bomtui.tui.glyphs import Glyphs
from bomtui.tui.marks import MARKS, Mark
from bomtui.tui.text import fit, width_of, wrap
from bomtui.tui.view import Finding, Heading, Meter

Span = tuple[str, str]
METER_GAP = 4
SHORTEST_TITLE = 14
OPEN = "open"


def title_line(heading: Heading, width: int, ellipsis: str) -> list[Span]:
    """The line that says what is open. Short of room, variant's name, title and revision give way."""
    name = f"variant {heading.variant_title} ({heading.variant})" if heading.variant_title else ""
    variant: Span = (f"variant {heading.variant}" if heading.variant else "no variant yet", "")
    revision: list[Span] = [(f"revision {heading.revision}", "quiet")] if heading.revision else []
    notice: list[Span] = [(heading.notice, "check")] if heading.notice else []
    saved: Span = (heading.saved, "quiet")
    choices: list[list[Span]] = [[variant, *revision, *notice, saved], [variant, *notice, saved]]
    if name:
        choices.insert(0, [(name, ""), *revision, *notice, saved])

    def room(rest: list[Span]) -> int:
        return width - 1 - sum(width_of(text) + 3 for text, _ in rest)

    title = heading.proposal
    wanted = (width_of(title), min(width_of(title), SHORTEST_TITLE))
    rest = next((rest for least in wanted for rest in choices if room(rest) >= least), choices[-1])
    if width_of(title) > room(rest):
        title = fit(title, max(SHORTEST_TITLE, room(rest)), ellipsis=ellipsis)
    spans: list[Span] = [(" ", ""), (title, "strong")]
    for text, style in rest:
        spans += [("   ", ""), (text, style)]
    return spans


def _meter_spans(meter: Meter, glyphs: Glyphs, *, with_note: bool) -> list[Span]:
    spans: list[Span] = [(meter.title, "quiet"), (f" {meter.value}", "strong")]
    if meter.limit:
        spans.append((f" {meter.limit}", ""))
    state = glyphs.state(meter.mark, meter.word)
    if state:
        spans.append((f" {state}", meter.mark))
    if meter.note and with_note:
        spans.append((f" {meter.note}", "quiet"))
    return spans


def _length(spans: Sequence[Span]) -> int:
    return sum(width_of(text) for text, _ in spans)


def _flow(texts: Sequence[Sequence[Span]], width: int) -> list[list[int]]:
    """Which of the texts stand together on a line, by their numbers."""
    lines: list[list[int]] = []
    used = width
    for number, spans in enumerate(texts):
        if lines and used + METER_GAP + _length(spans) <= width:
            lines[-1].append(number)
            used += METER_GAP + _length(spans)
        else:
            lines.append([number])
            used = 1 + _length(spans)
    return lines


def meter_lines(meters: Sequence[Meter], width: int, glyphs: Glyphs) -> list[list[Span]]:
    """The meters one after the other in as few lines as the width allows; a note stands where its line has room."""
    texts = [_meter_spans(meter, glyphs, with_note=False) for meter in meters]
    built: list[list[Span]] = []
    for numbers in _flow(texts, width):
        room = width - 1 - sum(_length(texts[number]) for number in numbers) - METER_GAP * (len(numbers) - 1)
        line: list[Span] = [(" ", "")]
        for number in numbers:
            spans = _meter_spans(meters[number], glyphs, with_note=True)
            if _length(spans) - _length(texts[number]) > room:
                spans = texts[number]
            room -= _length(spans) - _length(texts[number])
            line += [(" " * METER_GAP, ""), *spans] if number != numbers[0] else spans
        built += _broken(line, width)
    return built


def _broken(line: list[Span], width: int) -> list[list[Span]]:
    """A line that is too long for its width, in several: no number is cut from its unit, no sign from its word."""
    lines: list[list[Span]] = [[]]
    for text, style in line:
        if len(lines[-1]) > 1 and _length(lines[-1]) + width_of(text) > width:
            lines.append([("  ", "")])
        lines[-1].append((text, style))
    return lines


def count_words(findings: Sequence[Finding]) -> list[tuple[str, Mark]]:
    """How many open findings there are of each word, the worst first, and how many somebody has accepted."""
    counts = Counter((finding.mark, finding.word) for finding in findings if finding.status == OPEN)
    ordered = sorted(counts.items(), key=lambda item: MARKS.index(item[0][0]))
    accepted: list[tuple[str, Mark]] = []
    if accepted_count := sum(finding.status != OPEN for finding in findings):
        accepted.append((f"accepted {accepted_count}", ""))
    return [(f"{word} {count}", mark) for (mark, word), count in ordered] + accepted


def strip_lines(
    findings: Sequence[Finding], checks: str, current: int, lines: int, width: int, glyphs: Glyphs, next_key: str
) -> list[list[Span]]:
    """A headline and the findings from the current one on.

    No finding is not a clean bill: the headline always says what was checked.

    Args:
        findings: All findings, worst first.
        checks: How many checks ran and how many could not.
        current: Index of the finding that stands first.
        lines: How many lines there are, the headline among them.
        width: Cells.
        glyphs: Signs of the screen.
        next_key: Key that goes to the next finding.
    """
    head: list[Span] = [(" ", "")]
    if findings:
        head += [("Findings", "strong"), *_counted(findings, glyphs)]
        onward = f"{next_key} goes to the next"
        for where in (f"   {current + 1} of {len(findings)}, {onward}", f"   {onward}", f"   {next_key} next"):
            if _length(head) + width_of(where) <= width:
                head.append((where, "quiet"))
                break
    else:
        head.append(("No open finding", "strong"))
    built = [head]
    if _length(head) + width_of(checks) + 3 <= width:
        head.append((f"   {checks}", "quiet"))
    elif not findings:
        built += [[(f" {line}", "quiet")] for line in wrap(checks, width - 2, hang=0)]
    return built + [_finding_line(finding, width, glyphs) for finding in findings[current : current + lines - 1]]


def checking_lines(
    words: str, former: Sequence[Finding], current: int, lines: int, width: int, glyphs: Glyphs
) -> list[list[Span]]:
    """What stands in the place of the findings while new figures are checked: the former ones, and that they are.

    Args:
        words: How far the checking is.
        former: Findings from before the last step, worst first.
        current: Index of the finding that stands first.
        lines: How many lines there are, the headline among them.
        width: Cells.
        glyphs: Signs of the screen.
    """
    head: list[Span] = [(f" {words}", "strong")]
    if former:
        head += [("   before the last step:", "quiet"), *_counted(former, glyphs)]
    return [head, *(_finding_line(finding, width, glyphs) for finding in former[current : current + lines - 1])]


def _counted(findings: Sequence[Finding], glyphs: Glyphs) -> list[Span]:
    spans: list[Span] = []
    for text, mark in count_words(findings):
        spans += [("  ", ""), (f"{glyphs.marks[mark]} {text}" if mark else text, mark)]
    return spans


def _finding_line(finding: Finding, width: int, glyphs: Glyphs) -> list[Span]:
    state = glyphs.state(finding.mark, finding.word)
    text = f"  {finding.place}: {finding.message}"
    room = max(10, width - 1 - width_of(state))
    return [(f" {state}", finding.mark), (fit(text, room, ellipsis=glyphs.ellipsis).rstrip(), "")]


def next_of(count: int, current: int, step: int) -> int:
    """Index of the next or previous one of so many, going around."""
    return (current + step) % count
