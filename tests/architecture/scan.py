"""Find, parse and search the project's files."""

import ast
import fnmatch
import gc
import shutil
import subprocess
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path

from bomtui.model.quantity import DIMENSIONS

REPO = Path(__file__).parents[2]

UNIT_SUFFIXES = tuple(sorted({dimension.suffix for dimension in DIMENSIONS.values()}))
"""Endings of names that hold a quantity, such as `_a` or `_k_per_w`."""

Fault = tuple[int, str]
"""Line number and what is wrong there."""


def python_files(*folders: str) -> list[Path]:
    """List the Python files below folders or at the paths of the repository; what does not exist has none."""
    found: set[Path] = set()
    for folder in folders:
        path = REPO / folder
        found.update([path] if path.is_file() else path.rglob("*.py"))
    return sorted(found)


def relative(path: Path) -> str:
    """Name a file from the top of the repository, with slashes."""
    return path.relative_to(REPO).as_posix()


@cache
def parsed(path: Path) -> ast.Module:
    """Parse one file; the tree is shared, so nobody changes it.

    Trees stay to the end of the process. Walking millions of their nodes in search of garbage takes two thirds of the
    time, so they are taken out of the collector's sight.
    """
    gc.disable()
    try:
        tree = ast.parse(path.read_text(encoding="utf-8"), filename=str(path))
        gc.freeze()
    finally:
        gc.enable()
    return tree


def faults_in(files: Iterable[Path], find: Callable[[ast.Module], Iterable[Fault]]) -> list[str]:
    """Run one check over files and name each fault by file and line."""
    return [f"{relative(path)}:{line}: {what}" for path in files for line, what in find(parsed(path))]


def faults_of(snippet: str, find: Callable[[ast.Module], Iterable[Fault]]) -> list[str]:
    """Run one check over a snippet, to show that the check bites."""
    return [what for _, what in find(ast.parse(snippet))]


def last_name(node: ast.expr) -> str:
    """Last word of a dotted name; empty for anything else."""
    if isinstance(node, ast.Name):
        return node.id
    return node.attr if isinstance(node, ast.Attribute) else ""


def functions(tree: ast.AST) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method of a file, nested ones too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def parameters(function: ast.FunctionDef | ast.AsyncFunctionDef) -> list[ast.arg]:
    """Parameters of a function in the order of its signature, without `*args` and `**kwargs`."""
    arguments = function.args
    return [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]


def project_files() -> list[str]:
    """Every file that is or would be committed, from the top of the repository.

    A checkout asks git; an exported tree without a repository is walked with the patterns of .gitignore.
    """
    git = shutil.which("git")
    if git and (REPO / ".git").exists():
        command = [git, "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        listed = subprocess.run(command, cwd=REPO, check=True, capture_output=True, text=True).stdout.split("\0")
        return sorted({name for name in listed if name and (REPO / name).is_file()})
    patterns = ignore_patterns((REPO / ".gitignore").read_text(encoding="utf-8"))
    names = (relative(path) for path in REPO.rglob("*") if path.is_file())
    return sorted(name for name in names if not is_ignored(name, patterns))


def ignore_patterns(text: str) -> list[str]:
    """Read the lines of a .gitignore that uses plain folder names only; a leading slash is kept."""
    lines = (line.strip() for line in text.splitlines())
    return [line.rstrip("/") for line in lines if line and not line.startswith("#")]


def is_ignored(name: str, patterns: Iterable[str]) -> bool:
    """Tell whether a path of the repository lies in a folder that the patterns name."""
    parts = name.split("/")
    return any(
        fnmatch.fnmatch(parts[0], pattern[1:])
        if pattern.startswith("/")
        else any(fnmatch.fnmatch(part, pattern) for part in parts)
        for pattern in patterns
    )
