"""Colours by meaning, dark and light.

Good stands against not good as blue against orange and red, which the common colour vision deficiencies keep apart; a
check against a violation is told by sign and word. Every text reaches a contrast of 4.5 against each ground it stands
on (WCAG 2.2, success criterion 1.4.3).
"""

from textual.theme import Theme

DARK_COLOURS = {
    "state-ok": "#6fb7f0",
    "state-check": "#e3ad4a",
    "state-over": "#ff8f6b",
    "state-unknown": "#c9a4f7",
    "state-note": "#a9bccb",
    "quiet": "#a3acb8",
    "key": "#e3c98b",
    "head-ground": "#2a313b",
    "head-text": "#d5dbe3",
    "cursor-ground": "#3d6a8f",
    "cursor-text": "#ffffff",
    "still-cursor-ground": "#343d49",
    "still-cursor-text": "#f2f4f7",
}
LIGHT_COLOURS = {
    "state-ok": "#00578f",
    "state-check": "#784a00",
    "state-over": "#a82b00",
    "state-unknown": "#6a2fb0",
    "state-note": "#455563",
    "quiet": "#545c66",
    "key": "#6b4a00",
    "head-ground": "#e3e6ea",
    "head-text": "#2a2f36",
    "cursor-ground": "#1f5f93",
    "cursor-text": "#ffffff",
    "still-cursor-ground": "#d3d9e0",
    "still-cursor-text": "#16191d",
}
TERMINAL_COLOURS = {
    "state-ok": "ansi_cyan",
    "state-check": "ansi_yellow",
    "state-over": "ansi_red",
    "state-unknown": "ansi_magenta",
    "state-note": "ansi_default",
    "quiet": "ansi_default",
    "key": "ansi_default",
    "head-ground": "ansi_default",
    "head-text": "ansi_default",
    "cursor-ground": "ansi_blue",
    "cursor-text": "ansi_bright_white",
    "still-cursor-ground": "ansi_default",
    "still-cursor-text": "ansi_default",
}

DARK = Theme(
    name="bomtui-dark",
    primary="#6fb7f0",
    secondary="#a9bccb",
    accent="#e3ad4a",
    warning="#e3ad4a",
    error="#ff8f6b",
    success="#6fb7f0",
    foreground="#e2e6eb",
    background="#13161b",
    surface="#171b21",
    panel="#2a313b",
    dark=True,
    variables=DARK_COLOURS,
)
LIGHT = Theme(
    name="bomtui-light",
    primary="#00578f",
    secondary="#455563",
    accent="#784a00",
    warning="#784a00",
    error="#a82b00",
    success="#00578f",
    foreground="#1b1f24",
    background="#fbfbf9",
    surface="#ffffff",
    panel="#e3e6ea",
    dark=False,
    variables=LIGHT_COLOURS,
)
THEME_NAMES = ("bomtui-dark", "bomtui-light", "ansi-dark", "ansi-light")
"""Themes in the order in which the key goes through them; the ansi ones use the terminal's own sixteen colours."""


def colours_for(*, is_dark: bool, is_terminal: bool) -> dict[str, str]:
    """The colours by meaning for a theme that does not define them itself."""
    if is_terminal:
        return TERMINAL_COLOURS
    return DARK_COLOURS if is_dark else LIGHT_COLOURS
