"""The one owner of stderr and of exit codes: what went wrong, one sentence each, never a traceback unless asked for."""

import os
import sys
import traceback
from collections.abc import Iterable
from enum import IntEnum

from bomtui.model.plain_text import clean
from bomtui.services.errors import BomtuiError, UnknownNameError

TRACEBACK_VARIABLE = "BOMTUI_TRACEBACK"
"""Environment variable that, set to 1, shows where in the program an unexpected fault arose."""

INTERRUPTED = 130
"""Exit code after Ctrl+C: 128 + SIGINT (POSIX shells)."""


class ExitCode(IntEnum):
    """What the program tells the shell."""

    FINE = 0
    FINDINGS = 1
    USAGE = 2
    ENVIRONMENT = 3


class UsageFault(Exception):  # noqa: N818 - a fault of the command line, not of the program
    """The command line cannot be understood; the text is one sentence, the command says where its help is."""

    def __init__(self, sentence: str, command: str = "") -> None:
        super().__init__(sentence)
        self.command = command


def say(sentence: str) -> None:
    """Write one line to stderr; text from files cannot act on the terminal."""
    if sys.stderr is None:
        return
    try:
        print(clean(sentence), file=sys.stderr, flush=True)
    except OSError:
        # Nobody is left to be told.
        return


def list_problems(problems: Iterable[object]) -> None:
    """Write every fault of a file, one line each."""
    for problem in problems:
        say(str(problem))


def usage(fault: UsageFault) -> ExitCode:
    """Report a command line that cannot be understood."""
    command = f"bomtui {fault.command}".strip()
    say(f"{command}: {fault}; '{command} --help' says more")
    return ExitCode.USAGE


def refused(error: BomtuiError) -> ExitCode:
    """Report what cannot be done; a name that is not there is a fault of the command line."""
    list_problems(error.problems)
    say(f"bomtui: {error}")
    return ExitCode.USAGE if isinstance(error, UnknownNameError) else ExitCode.ENVIRONMENT


def unexpected(error: BaseException) -> ExitCode:
    """Report a fault of the program itself."""
    if os.environ.get(TRACEBACK_VARIABLE) == "1":
        for line in "".join(traceback.format_exception(error)).splitlines():
            say(line)
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    say(f"bomtui: a fault of the program itself ({what}); {TRACEBACK_VARIABLE}=1 shows where it arose")
    return ExitCode.ENVIRONMENT
