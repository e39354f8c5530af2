"""Write the package of a variant for the screens."""

from pathlib import Path

from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.other_variant import other_variant
from bomtui.services.package.package import FORMATS, Options, notation_of, package
from bomtui.services.package.write import check_folder, write_package
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import compute, variant_ids
from bomtui.tui.view import PackageWishes, WriteOutcome


def written_package(reviewed: Reviewed, path_text: str, wishes: PackageWishes, *, overwrite: bool) -> WriteOutcome:
    """Write every artefact of a variant into a folder, compared with the next variant where there is one.

    Args:
        reviewed: The variant, computed and reviewed.
        path_text: Where to, as it was typed.
        wishes: How it is written.
        overwrite: Whether an unchanged former package may be replaced.
    """
    folder = Path(path_text).expanduser()
    opened, variant = reviewed.computed.opened, reviewed.computed.variant
    proposal = opened.snapshot.proposal
    try:
        check_folder(folder)
        other = None
        if len(variant_ids(proposal)) > 1:
            other = review(compute(opened, other_variant(proposal, variant, is_same_file=True)))
        made = package(reviewed, other, _options(wishes))
        write_package(made, folder, overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("refused" if overwrite else "exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    return WriteOutcome("written", f"Wrote {len(made.files)} files to {folder.absolute()}; {made.standing}.")


def _options(wishes: PackageWishes) -> Options:
    words = wishes.formats.split(",") if wishes.formats else FORMATS
    return Options(
        formats=tuple(known for known in FORMATS if known in words),
        notation=notation_of(decimal_comma=wishes.decimal_comma, separator=None, currency=wishes.currency),
        paper=wishes.paper,
        forced=wishes.forced,
    )
