"""Leaving in good order when the terminal closes or somebody ends the program from outside.

Without this the shell is left with the terminal's raw mode, the second screen and the mouse switched on.
"""

import asyncio
import signal
import sys
from collections.abc import Callable


def install(leave: Callable[[int], None]) -> None:
    """Call `leave` with the exit code 128 + number when SIGTERM or SIGHUP arrives.

    To be called from within the running event loop. Windows has neither the signals nor the loop's handlers.
    """
    if sys.platform == "win32":
        return
    loop = asyncio.get_running_loop()
    for number in (signal.SIGTERM, signal.SIGHUP):
        loop.add_signal_handler(number, leave, 128 + number)
