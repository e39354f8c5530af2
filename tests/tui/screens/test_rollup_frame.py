"""Title, meters and findings around the sheet."""

from dataclasses import replace

from bomtui.tui.glyphs import FULL
from bomtui.tui.screens.rollup.frame import meter_lines, next_of, strip_lines, title_line
from bomtui.tui.text import width_of
from bomtui.tui.view import Meter
from tests.tui.fake import FINDINGS, METERS, rollup_view

HEADING = rollup_view().heading
WIDTHS = range(60, 201)


def text_of(spans: list[tuple[str, str]]) -> str:
    """The texts without what they are."""
    return "".join(text for text, _ in spans)


def test_the_title_never_loses_variant_notice_or_saved_state() -> None:
    """Whatever has to give way, a sample never passes for a customer's proposal."""
    for width in WIDTHS:
        line = text_of(title_line(HEADING, width, "…"))
        assert width_of(line) <= width
        assert all(text in line for text in ("variant", "zone", "invented parts", "saved"))


def test_a_wide_title_says_everything() -> None:
    """With room there is the title, the name and id of the variant, and the revision."""
    line = text_of(title_line(HEADING, 120, "…"))
    assert line == " Street sweeper   variant zone architecture (zone)   revision 3   invented parts   saved"


def test_a_long_title_is_cut_and_nothing_else() -> None:
    """A long title ends in a sign, and what warns stays."""
    line = text_of(title_line(replace(HEADING, proposal="A very long title " * 9), 80, "…"))
    assert line.startswith(" A very long title")
    assert "…   variant zone" in line
    assert width_of(line) <= 80


def test_meters_are_never_cut() -> None:
    """Each meter stands whole on a line: title, number, limit, and state in sign and word."""
    for width in WIDTHS:
        lines = [text_of(line) for line in meter_lines(METERS, width, FULL)]
        assert all(width_of(line) <= width for line in lines)
        for meter in METERS:
            wanted = " ".join(filter(None, [meter.title, meter.value, meter.limit, FULL.state(meter.mark, meter.word)]))
            assert any(wanted in line for line in lines)


def test_a_meter_longer_than_the_line_goes_on_below() -> None:
    """At the smallest width limit and state move to the next line, whole, and a note that has no room is left out."""
    long = Meter("Supply", ">=59.24 typ >=189.2 max A", "of 120 A", "check", "max over, 7 unknown", "in WORK_NIGHT")
    assert [text_of(line) for line in meter_lines([long], 60, FULL)] == [
        " Supply >=59.24 typ >=189.2 max A of 120 A", "   ◊ max over, 7 unknown",
    ]  # fmt: skip
    assert [text_of(line) for line in meter_lines([long], 80, FULL)] == [
        " Supply >=59.24 typ >=189.2 max A of 120 A ◊ max over, 7 unknown in WORK_NIGHT"
    ]


def test_a_note_stands_where_its_line_has_room() -> None:
    """Notes cost no line: each one stands or is left out by the room on its own line."""
    meters = [Meter("A", "1" * 20, note="n" * 30), Meter("B", "2" * 40, note="m" * 9), Meter("C", "3" * 10, note="k")]
    assert [text_of(line) for line in meter_lines(meters, 70, FULL)] == [
        " A " + "1" * 20 + "    B " + "2" * 40, " C " + "3" * 10 + " k",
    ]  # fmt: skip


def test_the_usual_terminals_have_room_for_the_sheet() -> None:
    """The meters take four lines of 80 cells and three of 120."""
    assert len(meter_lines(METERS, 80, FULL)) == 4
    assert len(meter_lines(METERS, 120, FULL)) == 3


def test_the_strip_counts_by_word_and_starts_at_the_current_finding() -> None:
    """The headline counts the worst first, and the lines below begin with the finding that was gone to."""
    lines = [text_of(line) for line in strip_lines(FINDINGS, "412 checks ran.", 1, 3, 120, FULL, "f")]
    assert lines[0].startswith(" Findings  ✗ error 2  ◊ warning 1  ? undecided 1   2 of 4, f goes to the next")
    assert lines[1] == " ◊ warning  ZENG: 131 of 142 pins are used, the reserve asks for 10 %"
    assert lines[2].startswith(" ? undecided  ZREA.U2:")
    assert len(lines) == 3


def test_an_accepted_finding_is_not_counted_as_open() -> None:
    """What somebody has accepted with a reason leaves the count and stays in the list."""
    findings = [replace(FINDINGS[0], status="accepted: prototype measured"), *FINDINGS[1:]]
    lines = [text_of(line) for line in strip_lines(findings, "", 0, 3, 120, FULL, "f")]
    assert "✗ error 1 " in lines[0]
    assert "accepted 1 " in lines[0]
    assert "ZREA.U1.OUT3" in lines[1]


def test_no_finding_is_not_called_good() -> None:
    """Without findings the line says at every width what was checked and what could not be."""
    for width in WIDTHS:
        lines = [text_of(line) for line in strip_lines([], "412 checks ran, 23 could not.", 0, 3, width, FULL, "f")]
        assert lines == [" No open finding   412 checks ran, 23 could not."]


def test_findings_go_around() -> None:
    """Behind the last finding comes the first, before the first the last."""
    assert [next_of(4, 3, 1), next_of(4, 0, -1), next_of(1, 0, 1)] == [0, 3, 0]
