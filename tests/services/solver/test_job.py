"""The solver in a process of its own: it answers, and whatever happens to it the caller goes on and nothing is left."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from bomtui.packing.greedy import greedy
from bomtui.packing.problem import checked_cost
from bomtui.packing.proof import Certificate, checked_bound
from bomtui.services.solver.job import Solved, solve
from bomtui.services.solver.messages import Effort, News
from tests.packing.instances import bins

NINE = bins([51] * 6 + [27] * 6 + [26] * 6 + [23] * 12, 100)
HEAD = "import os, sys\nopen(sys.argv[1], 'w').write(str(os.getpid()))\n"


def run(tmp_path: Path, code: str, **more: object) -> tuple[Solved, int]:
    """Ask a process that behaves as some code does; return the answer and its process id."""
    note = tmp_path / "pid"
    command = (sys.executable, "-c", HEAD + code, str(note))
    answer = solve(NINE, greedy(NINE), Effort(), command=command, **more)  # type: ignore[arg-type]
    return answer, int(note.read_text()) if note.exists() else 0


def is_gone(process: int) -> bool:
    """Tell whether no process of this id is left."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


def test_the_child_proves_the_optimum() -> None:
    """The 11/9 family comes back packed into 9 with a certificate that holds, and news came on the way."""
    news: list[News] = []
    answer = solve(NINE, greedy(NINE), Effort(), report=news.append)
    assert answer.packing is not None
    assert checked_cost(NINE, answer.packing) == 9
    assert checked_bound(NINE, answer.certificate, answer.packing).cost == 9
    assert answer.stopped_by == "matched"
    assert news


def test_equal_questions_have_equal_answers() -> None:
    """Limits are work, not time: the same question gives the same answer to the last digit."""
    assert solve(NINE, None, Effort()) == solve(NINE, None, Effort())


@pytest.mark.parametrize(
    ("code", "stop"),
    [
        pytest.param("sys.exit(3)", "failed", id="ends"),
        pytest.param("print('hello', flush=True)\nprint('{\"type\": 1}', flush=True)", "failed", id="prints"),
        pytest.param("os.write(1, b'\\xff\\xfe\\n' * 100)\nraise SystemExit", "failed", id="raves"),
        pytest.param("import signal\nos.kill(os.getpid(), signal.SIGKILL)", "failed", id="is killed"),
    ],
)
def test_a_broken_child_is_an_answer(tmp_path: Path, code: str, stop: str) -> None:
    """A child that ends, prints nonsense or is killed leaves the caller with a reason, and nothing of it is left."""
    answer, process = run(tmp_path, code)
    assert (answer.packing, answer.stopped_by) == (None, stop)
    assert answer.reason
    assert is_gone(process)


def test_what_was_told_before_the_end_is_kept(tmp_path: Path) -> None:
    """A search that is ended hands back the packing and the prices that it had told of, to be checked."""
    start = greedy(NINE)
    assert start is not None
    told = News(round=1, best=checked_cost(NINE, start), bound=8, packing=start, certificate=Certificate(((1,) * 4,)))
    line = msgspec.json.encode(told).decode()
    news: list[News] = []
    code = f"import time\nprint({line!r}, flush=True)\ntime.sleep(600)"
    answer, process = run(tmp_path, code, report=news.append, is_wanted=lambda: not news)
    assert (answer.packing, answer.certificate, answer.bound) == (start, told.certificate, 8)
    assert answer.stopped_by == "cancelled"
    assert is_gone(process)


def test_a_hung_child_is_cancelled(tmp_path: Path) -> None:
    """A child that never answers is ended as soon as nobody wants it any more, even one that ignores being asked."""
    note = tmp_path / "pid"
    code = "import signal, time\nsignal.signal(signal.SIGTERM, signal.SIG_IGN)\ntime.sleep(600)"
    answer, process = run(tmp_path, code, is_wanted=lambda: not note.exists() or not note.read_text())
    assert answer.stopped_by == "cancelled"
    assert is_gone(process)


def test_a_child_that_never_reads_is_left_behind(tmp_path: Path) -> None:
    """A time limit ends a child that does not even take the question, and is named as the reason."""
    answer, process = run(tmp_path, "import time\ntime.sleep(600)", seconds=0.3)
    assert answer.stopped_by == "time"
    assert process == 0 or is_gone(process)


def test_a_command_that_does_not_exist_is_an_answer() -> None:
    """No process at all is a reason too."""
    answer = solve(NINE, None, Effort(), command=("/nowhere/at/all",))
    assert answer.stopped_by == "failed"
    assert "does not start" in answer.reason


@pytest.mark.slow
def test_a_child_ends_with_the_program(tmp_path: Path) -> None:
    """The program is killed while its solver works: the solver's process ends too."""
    note = tmp_path / "child"
    code = f"""
import sys, subprocess
from bomtui.services.solver import job
from bomtui.services.solver.messages import Effort
from tests.packing.instances import bins, triplets
popen = subprocess.Popen
def noted(*args, **more):
    process = popen(*args, **more)
    open({str(note)!r}, "w").write(str(process.pid))
    return process
subprocess.Popen = noted
job.solve(bins(triplets(60), 1000), None, Effort(rounds=10_000))
"""
    program = subprocess.Popen([sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": str(Path.cwd())})
    while not note.exists() or not note.read_text():
        assert program.poll() is None
    program.send_signal(signal.SIGKILL)
    program.wait()
    child = int(note.read_text())
    while not is_gone(child):
        os.sched_yield()
    assert is_gone(child)
