"""A spreadsheet program of its own profile that recomputes every formula of a workbook when it loads it."""

import subprocess
from collections.abc import Sequence
from pathlib import Path
from shutil import which

OFFICE = "soffice"
# The setting that makes it recompute whatever values a file brings along: 0 is always.
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def is_there() -> bool:
    """Tell whether the program is installed."""
    return which(OFFICE) is not None


def recomputed(workbooks: Sequence[Path], room: Path, form: str = "xlsx") -> list[Path]:
    """Load workbooks, recompute them, and save them under their names in another folder.

    Args:
        workbooks: The workbooks.
        room: An empty folder for the profile and the results.
        form: Form in which they are saved, as its files end.
    """
    profile, results = room / "profile", room / "results"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(PROFILE, encoding="utf-8")
    command = [OFFICE, f"-env:UserInstallation={profile.as_uri()}", "--headless", "--convert-to", form]
    command += ["--outdir", str(results), *map(str, workbooks)]
    run = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    found = [(results / workbook.name).with_suffix(f".{form}") for workbook in workbooks]
    assert all(path.is_file() for path in found), run.stderr
    return found
