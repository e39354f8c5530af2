"""`bomtui rules`: what the program checks, and why."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.layout import GAP, padded, wrapped
from bomtui.model.plain_text import columns_of
from bomtui.services.artefact import as_json
from bomtui.services.review import RuleInfo, rule_named, rules


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="rule to tell of; without it all are listed")
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """List the rules, or tell of one."""
    chosen = chosen_format(arguments)
    known = rules() if arguments.name is None else (rule_named(arguments.name),)
    if chosen == JSON:
        output.write(as_json({"format": 1, "rules": known}), arguments.output)
    elif arguments.name is None:
        output.write_text(_list_text(known), arguments.output)
    else:
        output.write_text(f"{known[0].name} ({known[0].severity})\n\n{known[0].text}\n", arguments.output)
    return ExitCode.FINE


def _list_text(known: tuple[RuleInfo, ...]) -> str:
    width = max(columns_of(rule.name) for rule in known) + GAP
    lines = [
        line
        for rule in known
        for line in wrapped(f"{padded(rule.name, width)}{padded(rule.severity, 9)}{rule.title}", 0, width + 9)
    ]
    return "\n".join([*lines, "", "Nothing else is checked; 'bomtui rules NAME' tells of one."]) + "\n"
