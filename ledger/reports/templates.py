"""A page's templates: the packaged ones, or a yard's own in their place, read before any is used.

Own templates may look as they like. They may not undo the escaping, reach a file or the network, or
leave out the policy that keeps what was typed into the book from running in a browser.
"""

import hashlib
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.errors import Refused
from ledger.reports.environment import NO_FILTER, environment
from ledger.resources import root

if TYPE_CHECKING:
    from jinja2 import nodes

NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.-]{0,99}")
ENDINGS = (".html", ".css")
FILE_BYTES = 1_000_000


@dataclass(frozen=True)
class Template:
    """A template as it was read; `place` is its path, of a packaged one its name."""

    name: str
    place: str
    content: bytes
    own: bool

    @property
    def text(self) -> str:
        return self.content.decode("utf-8")

    def fault(self, line: int, what: str) -> Refused:
        """Return the refusal of the template: where, and what is wrong, by us or by Jinja."""
        return Refused("template_astray", template=self.place, line=line, what=what.rstrip("."))


@dataclass(frozen=True)
class Templates:
    """The templates that a page is made of, by name."""

    first: str
    by_name: Mapping[str, Template]

    @property
    def own(self) -> tuple[Template, ...]:
        """The yard's own, by name."""
        return tuple(self.by_name[name] for name in sorted(self.by_name) if self.by_name[name].own)

    @property
    def digest(self) -> str:
        """The SHA-256 over name and bytes of the yard's own, by name; "" when there is none.

        Each name and each content stands as its length in bytes, a colon and the bytes.
        """
        pieces = [part for each in self.own for part in (each.name.encode(), each.content)]
        whole = b"".join(b"%d:%b" % (len(part), part) for part in pieces)
        return hashlib.sha256(whole).hexdigest() if pieces else ""

    def load(self, name: str) -> tuple[str, str, None] | None:
        """Return text and place of the template, as the environment asks for it."""
        template = self.by_name.get(name)
        return (template.text, template.place, None) if template else None


def gather(first: str, folder: Path | None = None) -> Templates:
    """Return the template and all that it takes in, from the folder where it has that name.

    Raises: Refused when the folder or an own template cannot be used; it says where and why.
    """
    if folder is not None:
        refuse_empty(folder)
    templates: dict[str, Template] = {}
    wanted = [(first, "")]
    while wanted:
        name, asked_at = wanted.pop()
        if name not in templates:
            templates[name] = read(name, folder, asked_at)
            wanted.extend(taken_in(templates[name]))
    if folder is not None:
        refuse_strangers(folder, set(templates))
    return Templates(first, templates)


def refuse_empty(folder: Path) -> None:
    if not own_names(folder):
        raise Refused("templates_missing", folder=folder, packaged=names_packaged())


def refuse_strangers(folder: Path, used: set[str]) -> None:
    """Refuse a template that no page would use: most likely there is a slip in its name."""
    for name in sorted(own_names(folder) - used - packaged()):
        raise Refused("template_unused", template=folder / name, packaged=names_packaged())


def own_names(folder: Path) -> set[str]:
    try:
        return {path.name for path in folder.iterdir() if path.name.endswith(ENDINGS)}
    except OSError as error:
        raise Refused("templates_unreadable", place=folder, system=error.strerror) from error


def packaged() -> set[str]:
    return {place.name for place in root("templates").iterdir() if place.name.endswith(ENDINGS)}


def names_packaged() -> tuple[str, ...]:
    return tuple(sorted(packaged()))


def read(name: str, folder: Path | None, asked_at: str) -> Template:
    """Return the template of that name. Raises: Refused when it is not there or cannot be read."""
    if folder is not None and os.path.lexists(folder / name):
        return read_own(folder, name)
    place = root("templates").joinpath(name)
    if not place.is_file():
        raise Refused("template_missing", asked_at=asked_at, template=name)
    return Template(name, name, place.read_bytes(), own=False)


def read_own(folder: Path, name: str) -> Template:
    """Return the yard's own template: a file of UTF-8 text that lies in the folder itself."""
    place = folder / name
    inside = Path(os.path.realpath(place))
    if inside.parent != Path(os.path.realpath(folder)):
        raise Refused("template_outside", template=place)
    if not inside.is_file():
        raise Refused("template_is_no_file", template=place)
    try:
        with inside.open("rb") as file:
            content = file.read(FILE_BYTES + 1)
        content.decode("utf-8")
    except OSError as error:
        raise Refused("templates_unreadable", place=place, system=error.strerror) from error
    except UnicodeDecodeError:
        raise Refused("not_utf_8", file=place) from None
    if len(content) > FILE_BYTES:
        raise Refused("template_too_long", template=place, most=FILE_BYTES)
    return Template(name, str(place), content, own=True)


@lru_cache(maxsize=200)
def taken_in(template: Template) -> tuple[tuple[str, str], ...]:
    """Return the names of the templates that this one takes in, each with file and line.

    Raises: Refused for a fault of syntax, for what would write unescaped, and for other names.
    """
    from jinja2 import TemplateSyntaxError, nodes

    try:
        tree = environment(lambda _: None).parse(template.text)
    except TemplateSyntaxError as error:
        raise template.fault(error.lineno, error.message or "cannot be read") from None
    refuse_unescaped(template, tree)
    return tuple(
        (plain_name(template, node), f"{template.place}:{node.lineno}")
        for kind in (nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport)
        for node in tree.find_all(kind)
    )


def plain_name(template: Template, node: "nodes.Node") -> str:
    """Return the name of what is taken in, so that all are known before the page is made."""
    from jinja2 import nodes

    named = getattr(node, "template", None)
    name = named.value if isinstance(named, nodes.Const) else None
    if isinstance(name, str) and NAME.fullmatch(name):
        return name
    raise template.fault(
        node.lineno, 'a template is taken in by its plain name in quotes, such as "macros.html"'
    )


def refuse_unescaped(template: Template, tree: "nodes.Template") -> None:
    """Refuse what would show a text of the book as part of the page's own code."""
    from jinja2 import nodes

    changing = (nodes.EvalContextModifier, nodes.ScopedEvalContextModifier)
    for node in tree.find_all(changing):
        raise template.fault(node.lineno, "autoescape cannot be changed")
    for used in tree.find_all(nodes.Filter):
        if used.name in NO_FILTER:
            raise template.fault(used.lineno, f'the filter "{used.name}" cannot be used')
