"""Opportunities of the open proposal: lines, reasons and steps as the screens get them."""

import pytest

from bomtui.tui.from_services.opportunities import opportunities
from bomtui.tui.report import Refused
from tests.services.test_merge import reviewed


@pytest.mark.slow
def test_a_sample_has_lines_steps_and_reasons() -> None:
    """The first page says what a module gains and can be taken; the others say why not and what stays."""
    told: list[str] = []
    found = opportunities(reviewed("sweeper", "zone"), told.append, lambda: True)
    assert not isinstance(found, Refused)
    gains, chips, why_not, staying = found.report.pages
    keys = [line.key for line in (*gains.lines, *chips.lines) if not line.depth]
    assert keys == list(found.edits)
    assert keys[0] == "ZHMI"
    assert gains.lines[0].cells[1] == "+0.2400"
    assert gains.lines[1].cells[0] == "ZHMI.U2 hs24-8x220 becomes hs24-4x100"
    transceiver = next(line for line in chips.lines if line.cells[0] == "ZCEN.U14")
    assert (transceiver.cells[1:3], transceiver.word) == (("+0.4510", "-1"), "to be checked")
    assert found.together(("ZHMI", transceiver.key)) == ""
    assert "cannot be taken together" in found.together((transceiver.key, transceiver.key))
    assert why_not.lines[0].cells[0] == "ZCEN"
    assert "ZHMI.U1 + ZHMI.U3" in [line.cells[0] for line in why_not.lines]
    assert "ZREA.U1" in [line.cells[0] for line in staying.lines]
    assert found.whole is not None
    assert any(sentence.startswith("Searching, round 1") for sentence in told)


def test_a_variant_that_is_gone_is_a_sentence() -> None:
    """Without a variant there is a sentence in place of a report."""
    assert opportunities(None, lambda _: None, lambda: True) == Refused("There is no such variant any more.")
