"""Find the formulas of the engine and resolve the names under which other modules use them."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.architecture.scan import REPO, functions, last_name, parameters

METADATA = ("text", "unit", "source")
"""What the `@formula(...)` decorator carries, in this order."""


def formula_decorator(function: ast.FunctionDef | ast.AsyncFunctionDef) -> ast.Call | None:
    """The `@formula(...)` call above a function, or None where there is none."""
    for decorator in function.decorator_list:
        if isinstance(decorator, ast.Call) and last_name(decorator.func) == "formula":
            return decorator
    return None


def metadata(decorator: ast.Call) -> dict[str, ast.expr]:
    """Text, unit and source of a formula by name, given by position or by keyword."""
    given: dict[str, ast.expr] = dict(zip(METADATA, decorator.args, strict=False))
    given.update({keyword.arg: keyword.value for keyword in decorator.keywords if keyword.arg})
    return given


def formulas_of(tree: ast.Module) -> dict[str, tuple[str, ...]]:
    """Formulas of one module by name, each with its parameter names in order."""
    return {
        function.name: tuple(parameter.arg for parameter in parameters(function))
        for function in functions(tree)
        if formula_decorator(function) is not None
    }


def module_name(path: Path) -> str:
    """Dotted name of a file of the package."""
    parts = path.relative_to(REPO).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@dataclass
class Names:
    """What the names of one module mean as far as formulas go.

    Attributes:
        formulas: Name in this module -> parameter names of the formula it stands for.
        modules: Name in this module -> formulas of the module it stands for.
    """

    formulas: dict[str, tuple[str, ...]] = field(default_factory=dict)
    modules: dict[str, dict[str, tuple[str, ...]]] = field(default_factory=dict)

    def resolve(self, node: ast.expr) -> tuple[str, ...] | None:
        """Parameter names of the formula that an expression names, or None where it names none."""
        if isinstance(node, ast.Name):
            return self.formulas.get(node.id)
        if isinstance(node, ast.Attribute):
            return self.modules.get(ast.unparse(node.value), {}).get(node.attr)
        return None


def names_of(tree: ast.Module, library: dict[str, dict[str, tuple[str, ...]]]) -> Names:
    """Read a module's own formulas and its imports, deferred ones too.

    Args:
        tree: The module.
        library: Dotted module name -> its formulas.
    """
    names = Names(formulas=formulas_of(tree))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name in library:
                    names.modules[alias.asname or alias.name] = library[alias.name]
        elif isinstance(node, ast.ImportFrom):
            for alias in node.names:
                shown = alias.asname or alias.name
                if f"{node.module}.{alias.name}" in library:
                    names.modules[shown] = library[f"{node.module}.{alias.name}"]
                elif alias.name in library.get(node.module or "", {}):
                    names.formulas[shown] = library[node.module or ""][alias.name]
    return names


def outside_formulas(tree: ast.AST) -> Iterator[ast.AST]:
    """Every node of a module that is not inside a formula."""
    pending = [tree]
    while pending:
        node = pending.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and formula_decorator(node) is not None:
            continue
        yield node
        pending.extend(ast.iter_child_nodes(node))
