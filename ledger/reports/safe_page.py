"""What a finished page may hold, whoever wrote its templates: nothing that runs, loads or sends."""

import re
from collections.abc import Iterator

POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; "
    "form-action 'none'; base-uri 'none'"
)
# A policy counts only in the head, and only for what comes after it: so nothing may come before.
BEGINNING = re.compile(
    r"<!doctype html>\s*"
    r'<html(?: (?:lang|dir|class)="[\w -]*")*>\s*'
    r"<head>\s*"
    r'<meta charset="utf-8">\s*'
    rf'<meta http-equiv="Content-Security-Policy" content="{re.escape(POLICY)}">',
    re.IGNORECASE | re.ASCII,
)
ELEMENTS = {
    *("script", "base", "link", "iframe", "frame", "frameset", "object", "embed", "applet"),
    *("form", "portal", "set", "animate", "animatemotion", "animatetransform"),
}
ADDRESSES = {
    *("src", "srcset", "imagesrcset", "href", "xlink:href", "poster", "data", "background"),
    *("action", "formaction", "ping"),
}


def complaint(text: str) -> str:
    """Return the first thing that a page may not hold, "" when there is none."""
    if not BEGINNING.match(text):
        return (
            "the page must begin as the packaged base.html does, up to and including the line of "
            "its Content-Security-Policy"
        )
    return next(complaints(text), "")


def complaints(text: str) -> Iterator[str]:
    """Yield what the page may not hold, as a browser's parser reads it (HTML, 13.2)."""
    import tinyhtml5

    for element in tinyhtml5.parse(text).iter():
        if isinstance(element.tag, str):  # A comment has none.
            tag = local(element.tag)
            if tag in ELEMENTS:
                yield f"a page has no <{tag}>"
            yield from about_attributes(tag, [(local(n), v) for n, v in element.attrib.items()])


def local(name: str) -> str:
    """Return a name without its name space."""
    return name.rpartition("}")[2].lower()


def about_attributes(tag: str, attrs: list[tuple[str, str | None]]) -> Iterator[str]:
    """Yield what an element's attributes would run, load or send."""
    for name, value in attrs:
        told = (value or "").strip()
        lower = told.lower()
        if name.startswith("on"):
            yield f"a page has no attribute {name}"
        elif name == "http-equiv" and lower != "content-security-policy":
            yield f"a page has no <meta {name}>"
        elif name in ADDRESSES and not may_stand(tag, name, lower):
            yield f"a page loads nothing from elsewhere: {name}={told[:200]}"


def may_stand(tag: str, name: str, address: str) -> bool:
    """Return whether the address is inside the page, or a link that a reader may follow."""
    link = tag == "a" and name == "href"
    followed = ("https:", "http:", "mailto:", "tel:") if link else ()
    return address.startswith(("#", *followed, *(() if link else ("data:",))))
