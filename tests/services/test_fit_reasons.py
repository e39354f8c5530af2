"""Why something does not fit, in words: what speaks against it, and what is unknown where something unknown decides."""

from math import inf

import pytest

from bomtui.engine.fit import CHECKS
from bomtui.model.bound import Range, Value
from bomtui.services.fit_reasons import _SENTENCES, _UNDECIDED, reason


@pytest.mark.parametrize(
    ("check", "measured", "limit", "unit", "text"),
    [
        ("current", None, 6.0, "A", "the current of the load is unknown, the limit of a channel is 6 A"),
        ("current", 5.0, None, "A", "the current of the load is 5 A, the limit of a channel is unknown"),
        (
            "current", Range(5.0, inf, frozenset("a")), 6.0, "A",
            "the current of the load is >= 5 A, the limit of a channel is 6 A",
        ),
        ("pwm", None, 1000.0, "Hz", "the PWM frequency of the load is unknown, the highest of the part is 1 kHz"),
        ("supply", None, "24 V", "", "the supply that it is made for is unknown, that of the vehicle is 24 V"),
        ("parallel", "2 channels", None, "", "2 channels in parallel, and how many it allows is unknown"),
        ("diagnosis", "flag", "short", "", "what it reports by is flag, and whether that shows short is unknown"),
    ],
)  # fmt: skip
def test_what_is_unknown_is_named(check: str, measured: Value | str, limit: Value | str, unit: str, text: str) -> None:
    """Each of the two values stands behind its name, so that nobody guesses which of them is missing."""
    assert reason(check, measured, limit, unit, certain=False).text == f"not decided: {text}"
    assert reason(check, measured, limit, unit, certain=False, load_id="L9").text == f"L9: not decided: {text}"


def test_every_check_has_words_for_both_cases() -> None:
    """Whatever is compared can fail and can be undecided."""
    assert set(CHECKS) <= set(_SENTENCES)
    assert set(_SENTENCES) == set(_UNDECIDED)
