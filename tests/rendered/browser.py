"""A browser without a window, driven over its debugging pipe: what a page says, asks for, and how it prints."""

import base64
import itertools
import json
import os
import select
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import which
from typing import Any

PROGRAM = "chromium"
PATIENCE_S = 240
"""After so long without a word a browser hangs."""
# The pipe of the Chrome DevTools Protocol: commands on descriptor 3, answers on 4, each ended by a zero byte.
_START = 'exec "$0" "$@" 3<&{commands} 4>&{answers}'


def is_there() -> bool:
    """Tell whether the browser is installed."""
    return which(PROGRAM) is not None


class Browser:
    """An open page.

    Attributes:
        events: Everything that the browser has reported so far.
    """

    def __init__(self, write: int, read: int) -> None:
        self._write = write
        self._read = read
        self._rest = b""
        self._ids = itertools.count(1)
        self._session: str | None = None
        self.events: list[dict[str, Any]] = []

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:  # noqa: ANN401 - any JSON
        """Give a command and wait for its answer."""
        number = next(self._ids)
        message: dict[str, Any] = {"id": number, "method": method, "params": parameters}
        if self._session is not None:
            message["sessionId"] = self._session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self._write, data) :]
        while True:
            answer = self._next()
            if answer.get("id") == number:
                assert "error" not in answer, answer
                result: dict[str, Any] = answer["result"]
                return result
            self.events.append(answer)

    def open(self, address: str) -> None:
        """Open a page and wait until it is loaded."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")
        self.call("Page.navigate", url=address)
        while not any(event.get("method") == "Page.loadEventFired" for event in self.events):
            self.events.append(self._next())

    def evaluate(self, expression: str) -> Any:  # noqa: ANN401 - any JSON
        """Return the value of an expression in the page, awaited."""
        found = self.call("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def of(self, *methods: str) -> list[dict[str, Any]]:
        """Return the events of some kinds."""
        return [event["params"] for event in self.events if event.get("method") in methods]

    def printed(self, width_in: float, height_in: float) -> bytes:
        """Print the page on paper of a size, upright, as the page itself turns it; return the PDF."""
        answer = self.call(
            "Page.printToPDF", paperWidth=width_in, paperHeight=height_in, preferCSSPageSize=True, printBackground=True
        )
        return base64.b64decode(answer["data"])

    def _next(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._read], [], [], PATIENCE_S)
            assert ready, "the browser says nothing any more"
            chunk = os.read(self._read, 1 << 16)
            assert chunk, "the browser has ended"
            self._rest += chunk
        message, _, self._rest = self._rest.partition(b"\0")
        found: dict[str, Any] = json.loads(message)
        return found


@contextmanager
def browser(profile: Path) -> Iterator[Browser]:
    """Start a browser with a profile of its own; it ends with the context."""
    commands, write = os.pipe()
    read, answers = os.pipe()
    words = ["--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", f"--user-data-dir={profile}"]
    shell = _START.format(commands=commands, answers=answers)
    process = subprocess.Popen(
        ["/bin/bash", "-c", shell, PROGRAM, *words, "about:blank"],
        pass_fds=(commands, answers),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(commands)
    os.close(answers)
    try:
        yield Browser(write, read)
    finally:
        os.close(write)
        os.close(read)
        process.terminate()
        process.wait(timeout=30)
