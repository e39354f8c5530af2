"""Text from files loses what acts or hides and keeps what reads."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomtui.model.plain_text import STACKED_MARKS, clean, clean_lines


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Low beam 55 W", "Low beam 55 W"),
        ("[bold]X[/bold] [/] a[/red]b", "[bold]X[/bold] [/] a[/red]b"),
        ("4 mΩ at 85 °C, 120 µA", "4 mΩ at 85 °C, 120 µA"),
        ("車両 é ß", "車両 é ß"),
        ("\x1b[31mred\x1b[0m", "␛[31mred␛[0m"),
        ("\x1b]0;title\x07", "␛]0;title␇"),
        ("\x9b31m\x9d0;t\x9c", "\ufffd31m\ufffd0;t\ufffd"),
        ("a\x7fb\x00c\x08d", "a␡b␀c␈d"),
        ("one\ttwo\r\nthree\u2028four\x85five", "one two  three four five"),
        ("\u202egnp.exe\u202c \u2066x\u2069 \u200fy \u061cz", "gnp.exe x y z"),
        ("a\u200bb\u200c\u200d\u2060c\ufeffd\u00ade", "abcde"),
        ("\u26a1\ufe0e \u26a1\ufe0f \u26a1\U000e0100", "⚡ ⚡ ⚡"),
        ("tag\U000e0041\U000e007f", "tag"),
        ("\u3164filler\uffa0", "filler"),
        ("lone \ud800 \ue000 \U0010ffff", "lone \ufffd \ufffd \ufffd"),
        ("non\u00a0breaking\u3000wide", "non breaking wide"),
        ("\u0301starts", "starts"),
        ("e" + "\u0301" * 50 + "f", "e" + "\u0301" * STACKED_MARKS + "f"),
        ("", ""),
    ],
)
def test_known_texts(text: str, expected: str) -> None:
    """Each kind of acting or hiding character is replaced by what a reader can see, and nothing else changes."""
    assert clean(text) == expected


@given(st.text(st.characters(codec=None)))
def test_nothing_left_acts_or_hides(text: str) -> None:
    """No control, format, surrogate or line-breaking character survives in any text, and a second pass is idle."""
    cleaned = clean(text)
    assert not {unicodedata.category(character) for character in cleaned} & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
    assert clean(cleaned) == cleaned
    cleaned.encode()


def test_lines_are_split_before_cleaning() -> None:
    """A note of several lines keeps its lines."""
    assert clean_lines("one\r\ntwo\n\x1b[0mthree\r") == ("one", "two", "␛[0mthree", "")
