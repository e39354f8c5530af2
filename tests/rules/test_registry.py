"""The registry holds every rule, and every rule explains itself."""

import pkgutil
import re

import pytest

from bomtui import rules as package
from bomtui.model.finding import SEVERITIES
from bomtui.rules.context import SECTIONS, Rule
from bomtui.rules.registry import RULES
from bomtui.rules.run import FAILED_RULE

NO_RULES = {
    "context",
    "fitting",
    "wording",
    "registry",
    "run",
    "parts_used",
    "comparing",
    "shares",
    "memo",
    "sparing",
    "withstanding",
    "nets",
}

every_rule = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)


def test_every_rule_file_is_registered() -> None:
    """A rule that nobody asks would be a silent gap: each file of a rule is in the registry, once."""
    files = {module.name for module in pkgutil.iter_modules(package.__path__)} - NO_RULES
    assert sorted(rule.ask.__module__.rpartition(".")[2] for rule in RULES) == sorted(files)


def test_names_are_unique() -> None:
    """A name stands for one rule, and no rule has the name that stands for a broken one."""
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)
    assert FAILED_RULE not in names


@every_rule
def test_names_say_the_subject(rule: Rule) -> None:
    """A name is a subject and what is wrong with it, and its file has the same name."""
    assert re.fullmatch(r"[a-z]+\.[a-z]+", rule.name)
    assert rule.ask.__module__.rpartition(".")[2] == rule.name.replace(".", "_")
    assert rule.severity in SEVERITIES


@every_rule
def test_documentation_is_complete(rule: Rule) -> None:
    """The docstring has a title in one line and every section in order, each with something in it."""
    title, _, rest = rule.text.partition("\n\n")
    assert title == f"{rule.title}."
    assert "\n" not in title
    headings = re.findall(r"^(\w[\w ]+):$", rest, re.MULTILINE)
    assert tuple(headings) == SECTIONS
    pieces = re.split(r"^\w[\w ]+:$", rest, flags=re.MULTILINE)[1:]
    assert all(len(piece.split()) > 3 for piece in pieces)


@every_rule
def test_source_is_named(rule: Rule) -> None:
    """The source is a standard, a publication or a definition, or says that it is common practice or from memory."""
    assert re.search(r"common practice|value from memory|definition|\d{4}", rule.source, re.IGNORECASE)
    assert rule.source in " ".join(rule.text.split())


@every_rule
def test_sentences_never_say_ok(rule: Rule) -> None:
    """No sentence comforts: what is wrong, what is unknown and what to do, never a bare approval."""
    sentences = (rule.failed, rule.undecided, rule.remedy)
    assert all(sentences)
    assert not any(re.search(r"\b(ok|okay|safe)\b", sentence, re.IGNORECASE) for sentence in sentences)
    assert rule.remedy[0].isupper() or rule.remedy[0] == "{"
    assert rule.remedy.endswith(".")
    assert not rule.failed.endswith(".")
