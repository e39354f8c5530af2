"""Limits on the suite: nothing is skipped where CI=true, no single test is slow, nobody's own files are touched."""

import os
from collections.abc import Generator, Iterator
from pathlib import Path
from time import process_time

import pytest
from hypothesis import find, settings
from hypothesis import strategies as st

settings.register_profile("desk", deadline=None)
# The same cases on every run: a failure there can be repeated here.
settings.register_profile("ci", deadline=None, derandomize=True)

OVER_LIMIT = "over the time limit"
"""Name of the property of a report that says so; reports come from other processes too."""
BENCHMARKS = Path(__file__).parent / "benchmarks"
"""Ratios take as long as they take; no gate runs them."""


def in_ci() -> bool:
    """Tell whether the run is the one that decides."""
    return os.environ.get("CI") == "true"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the ini option that says how long one test may take."""
    parser.addini("call_limit_s", "seconds that one test outside the slow tier may take", default="3")


def pytest_configure() -> None:
    """Choose the hypothesis profile."""
    settings.load_profile("ci" if in_ci() else "desk")


SPENT_S: pytest.StashKey[float] = pytest.StashKey()
"""Processor time of a test and its child processes: what runs beside it makes no test slow."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    """Measure the processor time that a test takes, its child processes' too."""
    before_s = _spent_s()
    try:
        return (yield)
    finally:
        item.stash[SPENT_S] = _spent_s() - before_s


def _spent_s() -> float:
    children = os.times()
    return process_time() + children.children_user + children.children_system


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skip into a failure where CI=true, and hold the time limit of a single test."""
    report = yield
    if report.skipped and in_ci() and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped, and a skip is a failure where CI=true: {report.longreprtext}"
    limit_s = float(item.config.getini("call_limit_s"))
    limited = item.get_closest_marker("slow") is None and BENCHMARKS not in item.path.parents
    spent_s = item.stash.get(SPENT_S, 0.0)
    if report.when == "call" and min(call.duration, spent_s) > limit_s and limited:
        sentence = f"{item.nodeid} took {spent_s:.1f} s, the limit is {limit_s:g} s: make it faster or mark it slow"
        if not in_ci():
            report.user_properties.append((OVER_LIMIT, sentence))
        elif report.passed:
            report.outcome = "failed"
            report.longrepr = sentence
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Turn a file that skips itself into a failure where CI=true."""
    report = yield
    if report.outcome == "skipped" and in_ci():
        report.outcome = "failed"
        report.longrepr = f"{collector.nodeid} was skipped, and a skip is a failure where CI=true: {report.longrepr}"
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """List the tests that would fail in CI for being slow."""
    reports = [report for kind in ("passed", "failed") for report in terminalreporter.stats.get(kind, [])]
    said = [named for report in reports if report.when == "call" for named in report.user_properties]
    sentences = [sentence for name, sentence in said if name == OVER_LIMIT]
    if sentences:
        terminalreporter.section("over the time limit of one test", yellow=True)
        for sentence in sentences:
            terminalreporter.line(sentence)


@pytest.fixture(scope="session", autouse=True)
def own_user_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Give the whole run its own user folders: the engineer's catalog and preferences are no test data."""
    home = tmp_path_factory.mktemp("user")
    with pytest.MonkeyPatch.context() as patch:
        for kind in ("CACHE", "CONFIG", "DATA", "STATE"):
            patch.setenv(f"XDG_{kind}_HOME", str(home / kind.lower()))
        yield


@pytest.fixture(scope="session", autouse=True)
def table_of_characters() -> None:
    """Let hypothesis build its table of characters, which takes seconds in a fresh checkout, before a test is timed."""
    find(st.text(), lambda _: True)
