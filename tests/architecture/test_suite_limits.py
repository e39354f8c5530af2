"""The limits of tests/conftest.py hold: no skip and no slow test where CI=true."""

import pytest

from tests.architecture.scan import REPO

SKIPS = "import pytest\n\ndef test_skip():\n    pytest.skip('not here')\n"
SKIPS_WHOLE_FILE = "import pytest\n\npytest.skip('not here', allow_module_level=True)\n"
EXPECTED_FAILURE = "import pytest\n\n@pytest.mark.xfail(strict=True)\ndef test_known():\n    assert 1 == 2\n"
PASSES = "def test_passes():\n    assert 1 + 1 == 2\n"
PASSES_SLOWLY = "import pytest\n\n@pytest.mark.slow\ndef test_passes():\n    assert 1 + 1 == 2\n"


@pytest.fixture
def suite(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> pytest.Pytester:
    """A small suite with the conftest of this one, in CI."""
    pytester.makeconftest((REPO / "tests" / "conftest.py").read_text(encoding="utf-8"))
    monkeypatch.setenv("CI", "true")
    return pytester


def limit(suite: pytest.Pytester, seconds: str) -> None:
    """Set the time that one test may take."""
    suite.makeini(
        f"[pytest]\ncall_limit_s = {seconds}\nmarkers = slow\nasyncio_default_fixture_loop_scope = function\n"
    )


@pytest.mark.parametrize(("code", "outcome"), [(SKIPS, "failed"), (SKIPS_WHOLE_FILE, "errors")])
def test_a_skip_is_a_failure_in_ci(suite: pytest.Pytester, code: str, outcome: str) -> None:
    """A skipped test and a file that skips itself fail where CI=true."""
    limit(suite, "3")
    suite.makepyfile(code)
    result = suite.runpytest_inprocess()
    result.assert_outcomes(**{outcome: 1})
    result.stdout.fnmatch_lines(["*a skip is a failure where CI=true*"])


def test_a_skip_is_a_skip_elsewhere(suite: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    """At the desk a skip stays one."""
    monkeypatch.delenv("CI")
    limit(suite, "3")
    suite.makepyfile(SKIPS)
    suite.runpytest_inprocess().assert_outcomes(skipped=1)


def test_an_expected_failure_is_no_skip(suite: pytest.Pytester) -> None:
    """A failure that is expected by name is not taken for a skip."""
    limit(suite, "3")
    suite.makepyfile(EXPECTED_FAILURE)
    suite.runpytest_inprocess().assert_outcomes(xfailed=1)


def test_a_test_over_the_limit_fails_in_ci(suite: pytest.Pytester) -> None:
    """A test that takes longer than the limit fails by itself, with the way out in the message."""
    limit(suite, "0")
    suite.makepyfile(PASSES)
    result = suite.runpytest_inprocess()
    result.assert_outcomes(failed=1)
    result.stdout.fnmatch_lines(["*the limit is 0 s: make it faster or mark it slow*"])


def test_a_test_over_the_limit_is_listed_elsewhere(suite: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    """At the desk, where a machine may be busy, it passes and is listed at the end."""
    monkeypatch.delenv("CI")
    limit(suite, "0")
    suite.makepyfile(PASSES)
    result = suite.runpytest_inprocess()
    result.assert_outcomes(passed=1)
    result.stdout.fnmatch_lines(["*over the time limit of one test*", "*the limit is 0 s*"])


@pytest.mark.parametrize(("code", "seconds"), [(PASSES, "3"), (PASSES_SLOWLY, "0")])
def test_quick_tests_and_the_slow_tier_pass_in_ci(suite: pytest.Pytester, code: str, seconds: str) -> None:
    """A quick test passes, and so does one of the slow tier however long it takes."""
    limit(suite, seconds)
    suite.makepyfile(code)
    suite.runpytest_inprocess().assert_outcomes(passed=1)
