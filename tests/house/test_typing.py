"""No module takes keywords of any kind: a wrong one must fail before it runs."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def open_keywords(path: str, source: str) -> Iterator[str]:
    """Yield each function whose further keywords are of any name and type."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef) and (rest := node.args.kwarg):
            kind = ast.unparse(rest.annotation) if rest.annotation else "Any"
            if kind == "Any":
                yield f"{path}:{node.lineno} {node.name}: **{rest.arg}: Any, use a TypedDict"


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("def f(**asked: Unpack[Asked]): pass\n", []),
        ("def f(**typed: object): pass\n", []),
        ("def f(**asked: Any): pass\n", ["a.py:1 f: **asked: Any, use a TypedDict"]),
        ("\ndef f(**asked): pass\n", ["a.py:2 f: **asked: Any, use a TypedDict"]),
    ],
)
def test_keywords_of_any_kind_are_seen(source: str, expected: list[str]) -> None:
    """Keywords with their names, or those handed on as they come, may stand."""
    assert list(open_keywords("a.py", source)) == expected


def test_no_module_takes_keywords_of_any_kind() -> None:
    """A command that is given a wrong keyword fails the check of types."""
    modules = sorted((ROOT / "ledger").rglob("*.py"))
    found = [
        fault
        for path in modules
        for fault in open_keywords(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    ]

    assert len(modules) > 100
    assert found == []
