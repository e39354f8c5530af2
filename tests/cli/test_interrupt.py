"""Ctrl-C while a search runs ends the search, not the command; the second one ends the command."""

import os
import signal

import pytest

from bomtui.cli.interrupt import ended_by_interrupt


def test_the_first_interrupt_ends_the_search_and_the_second_the_command() -> None:
    """The question is answered with no, then the usual interrupt comes, and afterwards everything is as before."""
    former = signal.getsignal(signal.SIGINT)
    with ended_by_interrupt() as is_wanted:
        assert is_wanted()
        os.kill(os.getpid(), signal.SIGINT)
        assert not is_wanted()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) == former
