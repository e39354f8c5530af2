"""Starts the app with the invented proposal, to be looked at: `python -m tests.tui.look [large] [PATH]`."""

import sys

from bomtui.tui.app import run
from tests.tui.fake import FakeProposal, FakeWorkplace, large_view, rollup_view

if __name__ == "__main__":
    words = sys.argv[1:]
    view = large_view() if "large" in words else rollup_view()
    path = next((word for word in words if word != "large"), "")
    raise SystemExit(run(FakeWorkplace(FakeProposal(view)), path))
