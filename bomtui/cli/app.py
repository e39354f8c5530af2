"""`bomtui [PROPOSAL]`: the app in the terminal."""

import sys
from pathlib import Path

from bomtui.services.errors import BomtuiError


def open_app(path: Path | None) -> int:
    """Open the app.

    Args:
        path: Proposal to open at once; None to be asked.

    Returns:
        Exit code of the app.

    Raises:
        BomtuiError: There is no terminal to open it in.
    """
    if not (_is_terminal(sys.stdin) and _is_terminal(sys.stdout)):
        raise BomtuiError("the app needs a terminal; 'bomtui rollup PROPOSAL' prints the figures without one")
    # Only who opens the app waits for the screen library.
    from bomtui.tui.app import run_app

    return run_app(path)


def _is_terminal(stream: object) -> bool:
    return bool(getattr(stream, "isatty", lambda: False)())
