"""Fewer modules in the open proposal: lines, reasons and steps as the screens get them."""

import pytest

from bomtui.tui.from_services.module_opportunities import module_opportunities
from bomtui.tui.report import Refused
from tests.services.test_merge import reviewed


@pytest.mark.slow
def test_a_sample_has_lines_steps_and_reasons() -> None:
    """The first page says what modules gain and can be taken, the second why others stay, the third what all brings."""
    told: list[str] = []
    found = module_opportunities(reviewed("van", "central"), told.append, lambda: True)
    assert not isinstance(found, Refused)
    gains, why_not, whole = found.report.pages
    assert [line.key for line in gains.lines if not line.depth] == list(found.edits) == ["MBDY+MENG", "MENG+MHMI"]
    assert gains.lines[0].cells[:4] == ("MBDY+MENG", "+10.5006", "-3", "+16.0")
    assert gains.lines[1].cells[0] == "MENG into MBDY (Z2): each keeps its controller, in case-al"
    assert [line.key for line in why_not.lines] == ["MBDY+MHMI", "MBDY+MENG+MHMI"]
    assert whole.lines[0].cells[0] == "MBDY+MENG become one"
    assert found.whole is not None
    assert told[-1] == "Trying sets of modules: 4 of 4, 2 become one."


def test_what_cannot_be_asked_is_a_sentence() -> None:
    """Without a variant there is a sentence in place of a report."""
    gone = module_opportunities(None, lambda _: None, lambda: True)
    assert gone == Refused("There is no such variant any more.")
