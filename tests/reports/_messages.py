"""The messages of the owner's pages as the code and the templates have them.

Run as a program, this file brings the catalogues up to date, new messages still to be translated:
python -m tests.reports._messages
"""

import ast
import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import write_po
from jinja2 import Environment
from jinja2.ext import extract_from_ast

from ledger.language import CATALOGS, catalog_of, languages
from tests.house.test_imports import ROOT

Message = str | tuple[str, str]

# Modules whose every text in capitals is a message.
WORDINGS = (
    "ledger.reports.owner.wording",
    "ledger.reports.owner.document_words",
    "ledger.reports.owner.job_wording",
)


def messages() -> dict[Message, set[str]]:
    """Return every message, one with its plural as a pair, and the files that say it."""
    found: dict[Message, set[str]] = {}
    for path in sorted((ROOT / "ledger" / "reports").rglob("*.py")):
        for message in of_module(path):
            found.setdefault(message, set()).add(path.relative_to(ROOT).as_posix())
    for path in sorted((ROOT / "templates").glob("*.*ml")) + sorted(
        (ROOT / "templates").glob("*.css")
    ):
        for message in of_template(path):
            found.setdefault(message, set()).add(path.relative_to(ROOT).as_posix())
    found.pop("", None)
    return found


def of_module(path: Path) -> Iterator[Message]:
    """Yield what a module says by `_` and `ngettext`, its wording, and its tables' names."""
    name = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
    module = importlib.import_module(name)
    if name in WORDINGS:
        for constant, value in vars(module).items():
            if constant.isupper():
                yield from texts_in(value)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            yield from of_call(node.func.id, node.args, module)


def of_call(called: str, given: list[ast.expr], module: ModuleType) -> Iterator[Message]:
    if called == "ngettext":
        one, many = (ast.literal_eval(each) for each in given[:2])
        yield one, many
    elif called == "_":
        yield from of_argument(given[0], module)
    elif called == "map" and isinstance(given[0], ast.Name) and given[0].id == "_":
        yield from of_argument(given[1], module)
    elif called == "Table" and ".owner." in module.__name__:  # What a workbook calls its sheet.
        yield from of_argument(given[0], module)


def of_argument(node: ast.expr, module: ModuleType) -> Iterator[str]:
    """Yield the texts of an argument: written there, or those of the constants it names."""
    if isinstance(node, ast.Constant):
        yield from texts_in(node.value)
    elif isinstance(node, ast.IfExp):
        yield from of_argument(node.body, module)
        yield from of_argument(node.orelse, module)
    elif isinstance(node, ast.Subscript):
        yield from of_argument(node.value, module)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        yield from of_argument(node.func.value, module)
    elif isinstance(node, ast.Name) and node.id.isupper():
        yield from texts_in(getattr(module, node.id))
    elif (
        isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.attr.isupper()
    ):
        yield from texts_in(getattr(getattr(module, node.value.id), node.attr))


def texts_in(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for each in value.values():
            yield from texts_in(each)
    elif isinstance(value, tuple):
        for each in value:
            yield from texts_in(each)


def of_template(path: Path) -> Iterator[Message]:
    tree = Environment()._parse(path.read_text(encoding="utf-8"), path.name, None)
    for _line, _function, message in extract_from_ast(tree):
        assert isinstance(message, str)
        yield message


def brought_up_to_date(language: str) -> Catalog:
    """Return a language's catalogue with every message of the code, and no other."""
    before = catalog_of(language)
    after = Catalog(
        locale=language,
        domain="fairhours",
        project="fairhours",
        version="0.1.0",
        copyright_holder="the fairhours authors",
        last_translator="the fairhours authors",
        language_team=language,
        msgid_bugs_address="the fairhours authors",
        header_comment=f"# The owner's pages in another language: {language}.",
        creation_date=before.creation_date,
        revision_date=before.revision_date,
        charset="utf-8",
    )
    for message, places in sorted(
        messages().items(), key=lambda each: (min(each[1]), str(each[0]))
    ):
        one = message if isinstance(message, str) else message[0]
        old = before.get(one)
        known = old.string if old is not None and old.id == message else None
        flags = {"python-brace-format"} if "{" in one else set()
        after.add(message, known, locations=[(place, 0) for place in sorted(places)], flags=flags)
    return after


if __name__ == "__main__":
    for each in languages()[1:]:
        catalog = brought_up_to_date(each)
        with (CATALOGS / f"{each}.po").open("wb") as file:
            write_po(file, catalog, width=100, omit_header=False, include_lineno=False)
