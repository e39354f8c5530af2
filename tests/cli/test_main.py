"""Dispatch, help, exit codes, and what happens when stdout or the program itself fails."""

import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.cli import main as entry
from bomtui.cli import output
from tests.cli.running import REPO, SWEEPER, Command


def _process(*words: object, tail: str = "", env: dict[str, str] | None = None) -> subprocess.CompletedProcess[bytes]:
    """Run the program in a shell, with something after its words."""
    line = " ".join(f"'{word}'" for word in (sys.executable, "-m", "bomtui", *words))
    return subprocess.run(
        ["/bin/bash", "-c", f"set -o pipefail; {line} {tail}"], cwd=REPO, env=env, capture_output=True, check=False
    )


@pytest.mark.parametrize("command", entry.COMMANDS)
def test_every_command_has_help_that_is_listed(bomtui: Command, command: str) -> None:
    """Each command stands in the program's help and prints its own help on stdout, without a fault."""
    own = bomtui(command, "--help")
    assert (own.code, own.err) == (0, [])
    assert own.out.startswith(f"usage: bomtui {command} ")
    assert f"  {command} " in bomtui("--help").out


def test_version_is_printed(bomtui: Command) -> None:
    """The version is one line."""
    result = bomtui("--version")
    assert result.code == 0
    assert result.out.startswith("bomtui ")
    assert result.out.count("\n") == 1


MORE = "; 'bomtui{} --help' says more"
WRONG_LINES = {
    (): (3, "bomtui: the app needs a terminal; 'bomtui rollup PROPOSAL' prints the figures without one"),
    ("rolup",): (
        3,
        "bomtui: rolup: there is no such file or folder, and no such command (did you mean 'bomtui rollup'?)",
    ),
    ("--wrong",): (2, "bomtui: expected a command or a proposal, found --wrong" + MORE.format("")),
    ("a.toml", "b"): (2, "bomtui: expected nothing after the proposal a.toml, found b" + MORE.format("")),
    ("rollup",): (
        2,
        "bomtui rollup: the following arguments are required: PROPOSAL" + MORE.format(" rollup"),
    ),
    ("catalog",): (
        2,
        "bomtui catalog: the following arguments are required: VERB" + MORE.format(" catalog"),
    ),
    ("catalog", "find", "--limit", "0"): (
        2,
        "bomtui catalog find: argument --limit: expected a number from 1 to 1000000000, found 0"
        + MORE.format(" catalog find"),
    ),
}


@pytest.mark.parametrize("words", WRONG_LINES)
def test_a_wrong_command_line_is_one_sentence(bomtui: Command, words: tuple[str, ...]) -> None:
    """What cannot be understood or opened gives one sentence on stderr, nothing on stdout, and its exit code."""
    result = bomtui(*words)
    code, sentence = WRONG_LINES[words]
    assert (result.code, result.stdout, result.err) == (code, b"", [sentence])


def test_a_proposal_alone_opens_the_app(bomtui: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    """A first word that is no command is a proposal; a file named like a command is reached by its path."""
    opened: list[Path | None] = []

    def open_app(path: Path | None) -> int:
        opened.append(path)
        return 0

    monkeypatch.setattr(entry, "open_app", open_app)
    monkeypatch.chdir(SWEEPER)
    assert [bomtui().code, bomtui(".").code, bomtui("./street_sweeper.toml").code] == [0, 0, 0]
    assert opened == [None, Path(), Path("street_sweeper.toml")]


def test_a_fault_of_the_program_is_one_sentence(bomtui: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unexpected fault gives exit code 3 and one sentence that says how to see more; then the traceback is shown."""

    def fail(*_: object) -> None:
        raise RuntimeError("boom\x1b[31m")

    monkeypatch.setattr(output, "write", fail)
    quiet = bomtui("rollup", SWEEPER, "--format", "json")
    monkeypatch.setenv("BOMTUI_TRACEBACK", "1")
    loud = bomtui("rollup", SWEEPER, "--format", "json")
    sentence = (
        "bomtui: a fault of the program itself (RuntimeError: boom\u241b[31m); BOMTUI_TRACEBACK=1 shows where it arose"
    )
    assert (quiet.code, quiet.err) == (3, [sentence])
    assert loud.code == 3
    assert loud.err[0] == "Traceback (most recent call last):"
    assert loud.err[-1] == sentence


def test_interruption_ends_quietly(bomtui: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl+C ends the program with the exit code of shells and without words."""

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(output, "write", interrupt)
    result = bomtui("rollup", SWEEPER, "--format", "json")
    assert (result.code, result.err) == (130, [])


def test_a_reader_that_leaves_early_is_no_fault() -> None:
    """A pipe that is closed before the end gives no words and no exit code of its own."""
    result = _process("rollup", SWEEPER, "--format", "json", tail="| true")
    assert (result.returncode, result.stderr) == (0, b"")


def test_a_stdout_that_cannot_be_written_is_one_sentence() -> None:
    """A full disk and a closed stdout give one sentence and exit code 3."""
    full = _process("rules", tail=">/dev/full")
    closed = _process("rules", tail=">&-")
    assert (full.returncode, closed.returncode) == (3, 3)
    assert full.stderr.decode().splitlines() == ["bomtui: standard output cannot be written (No space left on device)"]
    assert closed.stderr.decode().splitlines() == ["bomtui: there is no standard output to write to"]


def test_a_closed_stderr_keeps_the_result_clean() -> None:
    """Without stderr the result goes to stdout all the same and nothing else does."""
    result = _process("rules", "nope", tail="2>&-")
    assert (result.returncode, result.stdout) == (2, b"")


def test_results_are_utf_8_whatever_the_locale() -> None:
    """The same bytes leave the program under a locale that knows ASCII only."""
    words = ("rules", "channel.twice")
    plain = _process(*words, env={"PATH": "/usr/bin", "LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"})
    assert plain.returncode == 0
    assert plain.stdout == _process(*words).stdout


HEADLESS = """
import sys
from bomtui.cli.main import main
for words in (["rollup", sys.argv[1]], ["review", sys.argv[1]], ["parts-list", sys.argv[1], "--format", "csv"],
              ["explain", sys.argv[1], "vehicle:standby_a"], ["rules"], ["about"]):
    main(words)
print(sorted({"textual", "rich", "sqlalchemy", "pint"} & set(sys.modules)), file=sys.stderr)
"""


@pytest.mark.slow
def test_headless_commands_load_no_slow_library() -> None:
    """Figures, reviews, lists and explanations need no screen, database or unit library."""
    run = subprocess.run(
        [sys.executable, "-c", HEADLESS, str(SWEEPER)], cwd=REPO, capture_output=True, text=True, check=False
    )
    assert run.stderr.splitlines() == ["[]"]
