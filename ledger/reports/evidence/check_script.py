"""The script that goes into a pack: the modules that check one, put together as one file."""

import ast
from collections.abc import Iterator
from importlib.resources import files

ROOM = "ledger.reports.evidence.checking"
# Each after those that it imports; the last says what the script is, and runs it.
PARTS = (
    *("pack_reading", "pack_seals", "pack_digests", "pack_events", "pack_entries"),
    "check_pack",
)


def check_script() -> bytes:
    """Return the script: its words, what it imports, and the parts end to end."""
    sources = [files(ROOM).joinpath(f"{part}.py").read_text(encoding="utf-8") for part in PARTS]
    trees = [(source, ast.parse(source)) for source in sources]
    imports = sorted({line for _, tree in trees for line in _imports(tree)})
    words = ast.get_docstring(trees[-1][1])
    texts = [_rest(source, tree) for source, tree in trees]
    return "\n".join([f'"""{words}\n"""', "", *imports, "", *texts]).encode("utf-8")


def _is_import(node: ast.stmt) -> bool:
    return isinstance(node, ast.Import | ast.ImportFrom)


def _imports(tree: ast.Module) -> Iterator[str]:
    """Yield what a part imports of the standard library, a line a name."""
    for node in tree.body:
        if isinstance(node, ast.Import):
            yield from (f"import {each.name}" for each in node.names)
        elif isinstance(node, ast.ImportFrom) and not (node.module or "").startswith(ROOM):
            yield from (f"from {node.module} import {each.name}" for each in node.names)


def _rest(source: str, tree: ast.Module) -> str:
    """Return a part without its imports, under its docstring as a comment."""
    docstring = ast.get_docstring(tree) or ""
    body = next(node for node in tree.body[1:] if not _is_import(node))
    lines = source.splitlines()
    start = body.lineno - 1
    while lines[start - 1].startswith("#"):
        start -= 1
    return "\n".join([f"# {docstring.splitlines()[0]}", "", *lines[start:], ""])
