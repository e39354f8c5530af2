"""The README's key table is the program's own."""

from pathlib import Path

from bomtui.tui.user_commands import key_table

README = Path(__file__).parents[2] / "README.md"


def test_readme_lists_the_keys_that_the_program_has() -> None:
    """Between its two marks the README holds the table as the program writes it."""
    text = README.read_text(encoding="utf-8")
    found = text.partition("<!-- key table -->\n")[2].partition("\n<!-- end of key table -->")[0]
    assert found == key_table().rstrip("\n")
