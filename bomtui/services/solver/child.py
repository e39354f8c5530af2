"""The process of the solver: `python -m bomtui.services.solver.child`, a question on stdin, messages on stdout.

It lives as long as its stdin is open: when the program ends, however it ends, so does this process.
"""

import os
import sys
import threading
from typing import BinaryIO

import msgspec

from bomtui.packing.solver.improve import Progress, Work, improve
from bomtui.services.solver.messages import Failed, Found, Message, News, Question


def main() -> None:
    """Answer one question."""
    answers = _own_stdout()
    question = msgspec.json.decode(sys.stdin.buffer.readline(), type=Question)
    threading.Thread(target=_end_with_the_program, daemon=True).start()
    _send(answers, _answered(question, answers))


def _own_stdout() -> BinaryIO:
    """Keep stdout for messages: the solver library prints there too, and is led into nothing."""
    answers = os.fdopen(os.dup(1), "wb", buffering=0)
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, 1)
    os.dup2(nothing, 2)
    return answers


def _answered(question: Question, answers: BinaryIO) -> Message:
    effort = question.effort
    work = Work(
        rounds=effort.rounds,
        column_rounds=effort.column_rounds,
        nodes=effort.nodes,
        dives=effort.dives,
        packing_steps=effort.packing_steps,
    )

    def report(progress: Progress) -> None:
        news = News(
            round=progress.round,
            best=progress.best,
            bound=progress.bound,
            packing=progress.packing,
            certificate=progress.certificate,
        )
        _send(answers, news)

    try:
        found = improve(question.problem, question.start, work, report)
    except Exception as error:  # noqa: BLE001 - whatever breaks here is one sentence for the program, no traceback
        return Failed(reason=f"{type(error).__name__}: {error}")
    return Found(packing=found.packing, certificate=found.certificate, bound=found.bound, stopped_by=found.stopped_by)


def _send(answers: BinaryIO, message: Message) -> None:
    answers.write(msgspec.json.encode(message) + b"\n")


def _end_with_the_program() -> None:
    while sys.stdin.buffer.read(1):
        pass
    os._exit(0)


if __name__ == "__main__":
    main()
