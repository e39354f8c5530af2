"""The expected outputs of the samples; `python -m tests.samples.expected` writes them anew.

They carry the program version they were made with; a new version makes them anew.
"""

import importlib
from pathlib import Path

from bomtui.services.artefact import review_json, rollup_json
from bomtui.services.open import open_proposal
from bomtui.services.parts_list import parts_list_bytes
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.samples.rollups import VARIANTS, sample_path


def expected_folder(vehicle: str) -> Path:
    """Return where the outputs of a vehicle lie."""
    return sample_path(vehicle).parent / "expected"


def output_names(variant: str) -> list[str]:
    """Return the file names of the outputs of a variant, in the order of `outputs`."""
    return [f"DEMO_DATA-{variant}-{name}" for name in ("rollup.json", "review.json", "parts-list.csv", "parts-list.md")]


def outputs(vehicle: str, variant: str) -> dict[str, bytes]:
    """Return the outputs of a variant by file name."""
    reviewed = review(compute(open_proposal(sample_path(vehicle)), variant))
    lists = (parts_list_bytes(reviewed, file_format) for file_format in ("csv", "md"))
    return dict(zip(output_names(variant), (rollup_json(reviewed), review_json(reviewed), *lists), strict=True))


def pinned_version() -> str:
    """Return the version in the sources, which need not be the installed one."""
    return str(importlib.import_module("bomtui").__version__)


def main() -> None:
    """Write every expected output."""
    artefact = importlib.import_module("bomtui.services.artefact")
    vars(artefact)["version"] = pinned_version
    for vehicle, variant in VARIANTS:
        folder = expected_folder(vehicle)
        folder.mkdir(exist_ok=True)
        for name, data in outputs(vehicle, variant).items():
            (folder / name).write_bytes(data)


if __name__ == "__main__":
    main()
