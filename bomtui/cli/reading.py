"""From the arguments of a command to an open, computed and reviewed variant."""

import argparse

from bomtui.cli.diagnostics import list_problems
from bomtui.services.open import Opened, open_proposal
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute


def opened_from(arguments: argparse.Namespace) -> Opened:
    """Open the proposal and list what is wrong in its files.

    Raises:
        BomtuiError: Nothing of it can be read.
    """
    opened = open_proposal(arguments.proposal)
    list_problems(opened.problems)
    return opened


def reviewed_from(arguments: argparse.Namespace) -> Reviewed:
    """Open the proposal, compute the variant and review it.

    Raises:
        BomtuiError: It cannot be read, or has no such variant.
    """
    return review(compute(opened_from(arguments), arguments.variant))
