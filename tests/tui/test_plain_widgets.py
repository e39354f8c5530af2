"""No widget is given the chance to read text as markup."""

import ast
from collections.abc import Iterator
from pathlib import Path

SOURCES = sorted((Path(__file__).parents[2] / "bomtui" / "tui").rglob("*.py"))
# Widgets that read markup in texts, or lead to such widgets; ours draw text as it is.
ALLOWED_WIDGETS = {"Input", "Static"}
MARKUP_CALLS = {"from_markup", "notify", "Label", "Button", "Text", "render_markup"}


def faults(tree: ast.Module) -> Iterator[str]:
    """Widgets and calls that would read markup."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == "textual.widgets":
            yield from (f"imports {alias.name}" for alias in node.names if alias.name not in ALLOWED_WIDGETS)
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in MARKUP_CALLS:
                yield f"calls {name}"
            plain = any(word.arg == "markup" and ast.unparse(word.value) == "False" for word in node.keywords)
            if name == "Static" and not plain:
                yield "Static without markup=False"


def test_no_source_file_lets_text_be_read_as_markup() -> None:
    """Only fields and Static(markup=False) of the library are used beside our own widgets."""
    found = {path.name: list(faults(ast.parse(path.read_text(encoding="utf-8")))) for path in SOURCES}
    assert {name: some for name, some in found.items() if some} == {}
    assert len(SOURCES) > 20


def test_widgets_that_read_markup_are_seen() -> None:
    """The search knows a label, a toast and a Static that reads markup."""
    snippet = "from textual.widgets import Label\nLabel('x')\nself.notify('x')\nStatic('x')\nStatic('x', markup=False)"
    assert list(faults(ast.parse(snippet))) == [
        "imports Label", "calls Label", "calls notify", "Static without markup=False",
    ]  # fmt: skip
