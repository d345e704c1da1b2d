"""What a finished page may hold, whoever wrote its templates: nothing that runs, loads or sends.

The one exception is a packaged script of our own, which its page's policy names by its digest.
"""

import base64
import hashlib
import re
from collections.abc import Iterator, Sequence
from typing import Any

POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; "
    "form-action 'none'; base-uri 'none'"
)
# A policy counts only in the head, and only for what comes after it: so nothing may come before.
BEGINNING = (
    r"<!doctype html>\s*"
    r'<html(?: (?:lang|dir|class)="[\w -]*")*>\s*'
    r"<head>\s*"
    r'<meta charset="utf-8">\s*'
    r'<meta http-equiv="Content-Security-Policy" content="{policy}">'
)
ELEMENTS = {
    *("script", "base", "link", "iframe", "frame", "frameset", "object", "embed", "applet"),
    *("form", "portal", "set", "animate", "animatemotion", "animatetransform"),
}
ADDRESSES = {
    *("src", "srcset", "imagesrcset", "href", "xlink:href", "poster", "data", "background"),
    *("action", "formaction", "ping"),
}

# Attributes that hold style, those of a drawing among them (SVG 2, presentation attributes).
STYLES = {
    *("style", "fill", "stroke", "filter", "mask", "clip-path", "cursor"),
    *("marker", "marker-start", "marker-mid", "marker-end"),
}
LOADING_FUNCTIONS = {"url", "src", "image", "image-set", "cross-fade"}
LOADING = re.compile(r"@import|url|src|image|cross-fade", re.IGNORECASE)


def script_source(script: str) -> str:
    """Return what a policy names a script by: the digest of its text (CSP, level 3, 2.3.1)."""
    digest = hashlib.sha256(script.encode("utf-8")).digest()
    return f"sha256-{base64.b64encode(digest).decode('ascii')}"


def policy_of(script: str = "") -> str:
    """Return the policy of a page with that script and no other, or with none."""
    return f"script-src '{script_source(script)}'; {POLICY}" if script else POLICY


def complaint(text: str, script: str = "") -> str:
    """Return the first thing that a page may not hold, "" when there is none.

    `script` is the one packaged script that it has to hold, once; "" for a page without any.
    """
    begins = BEGINNING.format(policy=re.escape(policy_of(script)))
    if not re.match(begins, text, re.IGNORECASE | re.ASCII):
        return (
            "the page must begin as the packaged base.html does, up to and including the line of "
            "its Content-Security-Policy"
        )
    try:
        return next(complaints(text, script), "")
    except RecursionError:
        return "a style is nested too deep"


def complaints(text: str, script: str = "") -> Iterator[str]:
    """Yield what the page may not hold, as a browser's parser reads it (HTML, 13.2)."""
    import tinyhtml5

    awaited = script
    for element in tinyhtml5.parse(text).iter():
        if isinstance(element.tag, str):  # A comment has none.
            tag = local(element.tag)
            if tag == "script" and awaited and element.text == awaited and not element.attrib:
                awaited = ""
            elif tag in ELEMENTS:
                yield f"a page has no <{tag}>"
            attributes = [(local(n), v) for n, v in element.attrib.items()]
            yield from about_attributes(tag, attributes)
            styles = [v for name, v in attributes if name in STYLES]
            for style in [*styles, "".join(element.itertext()) if tag == "style" else ""]:
                yield from about_style(style)
    if awaited:
        yield "the page has lost its script"


def local(name: str) -> str:
    """Return a name without its name space."""
    return name.rpartition("}")[2].lower()


def about_attributes(tag: str, attrs: list[tuple[str, str | None]]) -> Iterator[str]:
    """Yield what an element's attributes would run, load or send."""
    for name, value in attrs:
        text = (value or "").strip()
        lower = text.lower()
        if name.startswith("on"):
            yield f"a page has no attribute {name}"
        elif name == "http-equiv" and lower != "content-security-policy":
            yield f"a page has no <meta {name}>"
        elif name in ADDRESSES and not may_stand(tag, name, lower):
            yield f"a page loads nothing from elsewhere: {name}={text[:200]}"


def about_style(text: str) -> Iterator[str]:
    """Yield what a style would load, as its tokens are read (CSS Syntax, level 3, 4)."""
    import tinycss2

    # Without these words, or an escape that may spell one, there is nothing to be read.
    if text and ("\\" in text or LOADING.search(text)):
        yield from about_tokens(tinycss2.parse_component_value_list(text, skip_comments=True))


def about_tokens(tokens: Sequence[Any], *, loading: bool = False) -> Iterator[str]:
    """Yield what tokens load; a text loads only in a function that takes addresses."""
    for token in tokens:
        name = getattr(token, "lower_name", getattr(token, "lower_value", ""))
        if token.type == "at-keyword" and name == "import":
            yield "a page has no @import"
        elif token.type == "url" or (token.type == "string" and loading):
            if not may_stand("", "", token.value.strip().lower()):
                yield f"a page loads nothing from elsewhere: url({token.value[:200]})"
        elif token.type == "function":
            within = name.removeprefix("-webkit-") in LOADING_FUNCTIONS
            yield from about_tokens(token.arguments, loading=loading or within)
        else:
            yield from about_tokens(getattr(token, "content", ()), loading=loading)


def may_stand(tag: str, name: str, address: str) -> bool:
    """Return whether the address is inside the page, or a link that a reader may follow."""
    link = tag == "a" and name == "href"
    followed = ("https:", "http:", "mailto:", "tel:") if link else ()
    return address.startswith(("#", *followed, *(() if link else ("data:",))))
