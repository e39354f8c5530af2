"""`bomtui about`: version, catalog, cautions, and the published schemas of the JSON results."""

import argparse
import dataclasses

from bomtui.cli import output
from bomtui.cli.arguments import JSON, TEXT, add_output, chosen_format
from bomtui.cli.diagnostics import ExitCode
from bomtui.cli.layout import wrapped
from bomtui.model.plain_text import clean
from bomtui.services.about import About, about, schema, schema_names
from bomtui.services.artefact import as_json
from bomtui.services.catalog import PLACE_VARIABLE, catalog_name


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    parser.add_argument("--schema", metavar="NAME", help=f"print a JSON Schema: {', '.join(schema_names())}")
    add_output(parser, TEXT, JSON)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Say what the program is, or print a schema."""
    if arguments.schema is not None:
        output.write(schema(arguments.schema), arguments.output)
        return ExitCode.FINE
    chosen = chosen_format(arguments)
    known = about()
    if chosen == JSON:
        output.write(as_json({"format": 1, **dataclasses.asdict(known), "catalog": catalog_name()}), arguments.output)
    else:
        output.write_text(_text(known), arguments.output)
    return ExitCode.FINE


def _text(known: About) -> str:
    lines = [
        f"{known.program} {known.version}",
        *wrapped(known.purpose),
        "",
        f"shipped catalog: {known.catalog_parts} invented parts, content {known.catalog_hash}",
        f"catalog: {clean(catalog_name())} ({PLACE_VARIABLE} names another)",
        f"samples: {', '.join(known.samples)}",
        *wrapped(f"JSON Schemas: {', '.join(known.schemas)} (--schema NAME prints one)", 0, 2),
        "",
        *(line for caution in known.cautions for line in wrapped(f"- {caution}", 0, 2)),
    ]
    return "\n".join(lines) + "\n"
