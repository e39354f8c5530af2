"""`bomtui parts-list`: the costed parts list of a variant."""

import argparse

from bomtui.cli import output
from bomtui.cli.arguments import TEXT, add_output, add_proposal, add_variant, chosen_format
from bomtui.cli.diagnostics import ExitCode, say
from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import Column, table
from bomtui.cli.reading import reviewed_from
from bomtui.services.parts_list import (
    LineRecord,
    default_name,
    is_unmarked_demo,
    parts_list,
    parts_list_bytes,
)
from bomtui.services.review import Reviewed


def configure(parser: argparse.ArgumentParser) -> None:
    """Add the arguments."""
    add_proposal(parser)
    add_variant(parser)
    add_output(parser, TEXT, "csv", "json", "md")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Print the parts list, or write it to a file."""
    chosen = chosen_format(arguments)
    reviewed = reviewed_from(arguments)
    if chosen == TEXT:
        output.write_text(parts_list_text(reviewed), arguments.output)
    else:
        output.write(parts_list_bytes(reviewed, chosen), arguments.output)
    if arguments.output is not None and is_unmarked_demo(reviewed.computed, arguments.output):
        name = default_name(reviewed.computed, chosen)
        say(f"note: {arguments.output} holds invented parts and its name does not say so; {name} would")
    return ExitCode.FINE


def parts_list_text(reviewed: Reviewed) -> str:
    """Write the parts list for a terminal of 80 columns; the files hold more columns."""
    record = parts_list(reviewed)
    columns = (
        Column("part"),
        Column("mpn", whole=True),
        Column("qty", numeric=True),
        Column("need/year", numeric=True),
        Column("order", numeric=True),
        Column("unit price", numeric=True),
        Column("line price", numeric=True),
    )
    rows = [_row(line) for line in record.lines]
    rows.append(["total", "", "", "", "", record.currency, f"{'>=' if record.unknown else ''}{record.total}"])
    unknown = [f"  {record.unknown} lines have no price and are not in the total"] if record.unknown else []
    partly = any(line.quantity_full != line.quantity for line in record.lines)
    fitment = ["  quantities and line prices are those of the average vehicle (fitment rates)"] if partly else []
    return page(
        heading_lines(reviewed, "Parts list"),
        [*table(columns, rows, 0), *unknown, *fitment],
        assumption_lines(reviewed),
        caution_lines(),
    )


def _row(line: LineRecord) -> list[str]:
    cells = (line.part, line.mpn, line.quantity, line.need, line.order, line.unit_price, line.line_price)
    return ["?" if cell is None else str(cell) for cell in cells]
