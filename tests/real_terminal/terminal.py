"""Runs a program in a pseudo-terminal of its own and keeps the screen it draws.

The standard library's pty opens the terminal, pyte plays the terminal's part: no window, no other program.
"""

import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from types import TracebackType
from typing import Self

import pyte

PATIENCE_S = 10.0
"""How long a fact may take to come true before the test fails; nothing waits this long when all is well."""
MODES_TO_LEAVE = (b"?1049", b"?1000", b"?1003", b"?2004", b"?1004")
"""Second screen, mouse, bracketed paste, focus reports (xterm ctlseqs, "DEC Private Mode Set")."""


class Terminal:
    """A program and the terminal that it runs in.

    Args:
        arguments: Program and arguments.
        columns: Width.
        rows: Height.
        environment: What is added to the environment of the test run.
    """

    def __init__(
        self, arguments: Sequence[str], columns: int = 80, rows: int = 24, environment: Mapping[str, str] | None = None
    ) -> None:
        self.screen = pyte.Screen(columns, rows)
        self.output = bytearray()
        self._stream = pyte.ByteStream(self.screen)
        self._exit_code: int | None = None
        self._pid, self._fd = pty.fork()
        if self._pid == 0:
            surroundings = {
                name: value
                for name, value in os.environ.items()
                # A width that is said beforehand would hold against that of the terminal.
                if name not in {"NO_COLOR", "TEXTUAL_THEME", "COLUMNS", "LINES"}
            }
            surroundings |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8"}
            surroundings |= {"TEXTUAL_ANIMATIONS": "none", **(environment or {})}
            os.execvpe(arguments[0], list(arguments), surroundings)  # noqa: S606 - the program under test
        self._set_size(columns, rows)

    def __enter__(self) -> Self:
        """The terminal itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        """End the program if it still runs, and close the terminal."""
        if self._exit_code is None and not self._has_ended():
            os.kill(self._pid, signal.SIGKILL)
            os.waitpid(self._pid, 0)
        os.close(self._fd)

    def _set_size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def resize(self, columns: int, rows: int) -> None:
        """Change the size; the kernel tells the program."""
        self.screen.resize(rows, columns)
        self._set_size(columns, rows)

    def send(self, keys: str) -> None:
        """Send keys in one burst, as a fast typist or a slow line does."""
        os.write(self._fd, keys.encode())

    def signal(self, number: signal.Signals) -> None:
        """Send the program a signal."""
        os.kill(self._pid, number)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def _read(self, timeout_s: float) -> bool:
        """Take what the program has written; False once nothing more can come."""
        if not select.select([self._fd], [], [], timeout_s)[0]:
            return True
        try:
            data = os.read(self._fd, 65536)
        except OSError:  # Linux reports the end of a terminal's last program as an input/output error.
            return False
        self.output += data
        self._stream.feed(data)
        return bool(data)

    def wait_for(self, fact: str | Callable[[str], bool]) -> None:
        """Wait until a text stands on the screen, or until something holds of the screen's text.

        Raises:
            TimeoutError: If it never does.
        """
        holds = fact if callable(fact) else lambda text: fact in text
        end = time.monotonic() + PATIENCE_S
        while not holds(self.text):
            if not self._read(0.05) or time.monotonic() > end:
                if holds(self.text):
                    return
                raise TimeoutError(f"never saw {fact!r}; the screen was:\n{self.text}")

    def _has_ended(self) -> bool:
        pid, status = os.waitpid(self._pid, os.WNOHANG)
        if pid:
            self._exit_code = os.waitstatus_to_exitcode(status)
        return bool(pid)

    def wait_for_end(self) -> int:
        """Wait until the program has ended.

        Returns:
            Its exit code, negative for a signal.

        Raises:
            TimeoutError: If it goes on.
        """
        end = time.monotonic() + PATIENCE_S
        while self._exit_code is None and not self._has_ended():
            self._read(0.02)
            if time.monotonic() > end:
                raise TimeoutError(f"still running; the screen was:\n{self.text}")
        while self._read(0) and select.select([self._fd], [], [], 0)[0]:
            pass
        assert self._exit_code is not None
        return self._exit_code

    @property
    def is_left_in_order(self) -> bool:
        """Whether line editing and echo are back, the cursor is shown, and every mode was switched off again."""
        local_modes = termios.tcgetattr(self._fd)[3]
        is_cooked = bool(local_modes & termios.ICANON) and bool(local_modes & termios.ECHO)
        off = all(self.output.rfind(mode + b"l") >= self.output.rfind(mode + b"h") for mode in MODES_TO_LEAVE)
        return is_cooked and off and not self.screen.cursor.hidden
