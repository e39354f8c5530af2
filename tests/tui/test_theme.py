"""Colours of the screen."""

import pytest
from textual.color import Color
from textual.theme import Theme

from bomtui.tui.theme import DARK, DARK_COLOURS, LIGHT, LIGHT_COLOURS, TERMINAL_COLOURS

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, text of normal size."""


def luminance(colour: Color) -> float:
    """Relative luminance of WCAG 2.2."""
    channels = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour.normalized]
    return 0.2126 * channels[0] + 0.7152 * channels[1] + 0.0722 * channels[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2."""
    brighter, darker = sorted((luminance(Color.parse(one)), luminance(Color.parse(other))), reverse=True)
    return (brighter + 0.05) / (darker + 0.05)


def test_the_contrast_formula_gives_its_published_ends() -> None:
    """Black on white is 21:1 and a colour on itself 1:1 (WCAG 2.2, definition of contrast ratio)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=["dark", "light"])
def test_every_text_can_be_read_on_every_ground(theme: Theme) -> None:
    """States, quiet text and keys reach the contrast on the screen's ground and on the ground of title and key line."""
    grounds = [theme.background, theme.surface, theme.variables["head-ground"]]
    texts = {name: colour for name, colour in theme.variables.items() if name.startswith("state-")}
    texts |= {"quiet": theme.variables["quiet"], "key": theme.variables["key"], "text": theme.foreground or ""}
    ratios = {(name, ground): contrast(text, ground or "") for name, text in texts.items() for ground in grounds}
    assert {pair: ratio for pair, ratio in ratios.items() if ratio < LEAST_CONTRAST} == {}


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize("name", ["head", "cursor", "still-cursor"])
def test_each_coloured_ground_has_a_text_that_can_be_read(theme: Theme, name: str) -> None:
    """Header and cursor row reach the contrast too."""
    assert contrast(theme.variables[f"{name}-text"], theme.variables[f"{name}-ground"]) >= LEAST_CONTRAST


def test_all_themes_name_the_same_colours() -> None:
    """A colour that one theme lacks would stop the program when the theme is chosen."""
    assert set(DARK_COLOURS) == set(LIGHT_COLOURS) == set(TERMINAL_COLOURS)
