"""Each temporary table is written in one module, so that who reads it knows who filled it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WRITTEN = re.compile(r"(?:TABLE|INTO|RENAME TO) (staged_[a-z_]+)")


def written(tree: ast.AST) -> Iterator[str]:
    """Yield the temporary tables that a module stages, renames or writes by a statement."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            names = [str(each.value) for each in node.args if isinstance(each, ast.Constant)]
            if node.func.attr in {"stage", "stage_none", "stage_once"}:
                yield from (f"staged_{name}" for name in names[:1])
            if node.func.attr == "restage":
                yield from (f"staged_{name}" for name in names)
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from WRITTEN.findall(node.value)


def shared(modules: dict[str, str]) -> dict[str, list[str]]:
    """Return the tables written from more than one module, with these."""
    writers: dict[str, set[str]] = {}
    for module, text in modules.items():
        for table in written(ast.parse(text)):
            writers.setdefault(table, set()).add(module)
    return {table: sorted(names) for table, names in writers.items() if len(names) > 1}


def test_a_table_written_twice_is_found() -> None:
    """Staged here and filled by a statement there is two writers; read there is none."""
    modules = {
        "a.py": 'book.stage("line", "q")\nbook.stage("own", "q")\nbook.restage("x", "other")',
        "b.py": 'book.execute("INSERT INTO staged_line SELECT 1")',
        "c.py": 'book.execute("FROM staged_own")\nbook.stage("other", "q")',
    }

    assert shared(modules) == {"staged_line": ["a.py", "b.py"], "staged_other": ["a.py", "c.py"]}


def test_no_temporary_table_is_written_from_two_modules() -> None:
    """A table has one owner; who else needs it filled asks the owner's function."""
    paths = sorted((ROOT / "ledger").rglob("*.py"))
    modules = {str(each.relative_to(ROOT)): each.read_text(encoding="utf-8") for each in paths}

    assert shared(modules) == {}
