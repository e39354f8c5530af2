"""The way in from the command line: the first word decides, and every way out has an exit code."""

import difflib
import importlib
import sys
from collections.abc import Sequence
from pathlib import Path

from bomtui.cli import output
from bomtui.cli.app import open_app
from bomtui.cli.arguments import PROGRAM, Parser
from bomtui.cli.diagnostics import INTERRUPTED, ExitCode, UsageFault, refused, unexpected, usage
from bomtui.cli.layout import wrapped
from bomtui.services.errors import BomtuiError
from bomtui.services.program import PURPOSE, version

COMMANDS = {
    "new": "begin a proposal from a load list",
    "loads": "import a customer's load list",
    "rollup": "every figure of a variant",
    "review": "findings of a variant, and what was checked",
    "explain": "where a figure comes from",
    "failures": "what is lost with every single thing taken out",
    "diagram": "the block diagram of a module or of the vehicle",
    "parts": "what the catalog says now of the parts of a proposal, and taking it",
    "parts-list": "the costed parts list of a variant",
    "package": "all artefacts of a quotation in one folder",
    "compare": "two variants or two revisions side by side, and why they differ",
    "draft": "a first placement of loads that no module serves, with their drivers",
    "merge": "fewer or cheaper drivers, with proof, and the reasons why not",
    "volumes": "cost over vehicles a year and over the years",
    "catalog": "build, fill, search and show the catalog of parts",
    "rules": "what is checked, and why",
    "about": "version, catalog, cautions, JSON Schemas",
}
"""Every command with its summary; its module is named like it."""


def main(words: Sequence[str] | None = None) -> int:
    """Run the program.

    Args:
        words: Words of the command line after the program's name; None for those of the process.

    Returns:
        Exit code.
    """
    try:
        return _dispatch(list(sys.argv[1:] if words is None else words))
    except UsageFault as fault:
        return usage(fault)
    except BomtuiError as error:
        return refused(error)
    except KeyboardInterrupt:
        return INTERRUPTED
    except SystemExit as left:
        # Only the help leaves this way.
        return left.code if isinstance(left.code, int) else ExitCode.FINE
    except Exception as error:  # noqa: BLE001 - whatever is left is one sentence, never a traceback
        return unexpected(error)


def command_help() -> str:
    """Return the help of the program as a whole."""
    width = max(map(len, COMMANDS)) + 2
    return "\n".join(
        (
            "usage: bomtui [PROPOSAL]            open the app",
            "       bomtui COMMAND [ARGUMENTS]",
            "",
            *wrapped(PURPOSE),
            "",
            "commands ('bomtui COMMAND --help' says more):",
            *(f"  {name:<{width}}{summary}" for name, summary in COMMANDS.items()),
            "",
            *wrapped("A proposal is a file, or a folder that holds one; a file named like a command is ./NAME."),
            *wrapped("Exit codes: 0 fine, 1 findings (review, failures, package), 2 usage, 3 unreadable input."),
            "",
        )
    )


def _dispatch(words: list[str]) -> int:
    if not words:
        return open_app(None)
    first, rest = words[0], words[1:]
    if first in COMMANDS:
        return _command(first, rest)
    if first in {"-h", "--help"}:
        output.write_text(command_help())
        return ExitCode.FINE
    if first == "--version":
        output.write_text(f"bomtui {version()}\n")
        return ExitCode.FINE
    if first.startswith("-"):
        raise UsageFault(f"expected a command or a proposal, found {first}")
    if rest:
        raise UsageFault(f"expected nothing after the proposal {first}, found {' '.join(rest)}{_hint(first)}")
    if not _exists(first):
        raise BomtuiError(f"{first}: there is no such file or folder, and no such command{_hint(first)}")
    return open_app(Path(first))


def _command(name: str, words: list[str]) -> int:
    # One command loads what it needs, not what the others need.
    module = importlib.import_module(f"bomtui.cli.{name.replace('-', '_')}")
    parser = Parser(prog=f"{PROGRAM} {name}", description=COMMANDS[name])
    module.configure(parser)
    try:
        return int(module.run(parser.parse_args(words)))
    except UsageFault as fault:
        raise UsageFault(str(fault), fault.command or name) from fault


def _hint(word: str) -> str:
    near = difflib.get_close_matches(word, COMMANDS, n=1)
    return f" (did you mean 'bomtui {near[0]}'?)" if near else ""


def _exists(word: str) -> bool:
    try:
        return Path(word).exists()
    except (OSError, ValueError):
        return False
