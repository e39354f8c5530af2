"""The one owner of stdout: the result of a command and nothing else, the same bytes as in a file."""

import os
import sys
from pathlib import Path

from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output


def write(data: bytes, path: Path | None = None) -> None:
    """Write the result of a command.

    Args:
        data: The result.
        path: File to write; None for stdout.

    Raises:
        BomtuiError: It cannot be written.
    """
    if path is None:
        _to_stdout(data)
    else:
        write_output(path, data)


def write_text(text: str, path: Path | None = None) -> None:
    """Write the result of a command as text in UTF-8; see `write`."""
    write(text.encode("utf-8", "backslashreplace"), path)


def _to_stdout(data: bytes) -> None:
    stream = sys.stdout
    if stream is None:
        raise BomtuiError("there is no standard output to write to")
    try:
        stream.flush()
        stream.buffer.write(data)
        stream.buffer.flush()
    except BrokenPipeError:
        # The reader has seen enough, which is no fault.
        _discard_rest()
    except OSError as error:
        _discard_rest()
        raise BomtuiError(f"standard output cannot be written ({error.strerror or error})") from error


def _discard_rest() -> None:
    """Let what is left in the buffer go nowhere, so that closing the stream cannot fail a second time."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
