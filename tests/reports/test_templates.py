"""A yard's own templates change how a page looks, and nothing of what it can do."""

import hashlib
import os
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.cli.refusals.worded import worded
from ledger.cli.wording.pages import COMMANDS
from ledger.errors import Refused
from ledger.reports.canonical import digest
from ledger.reports.rendering import RenderChoices, render
from ledger.reports.safe_page import POLICY, complaint
from ledger.resources import root
from tests.conftest import Yard, slow_beyond
from tests.reports import _landing as landing
from tests.reports._landing import LANDING, RECORDED_AT
from tests.reports._paper import Elements
from tests.test_small_sample import build

STATEMENT = '{% extends "base.html" %}{% block content %}CONTENT{% endblock %}'
TO_DO = "correct it, or remove the file from the folder to use the packaged one"
URL = "a page loads nothing from elsewhere: url({})"
META_REFUSED = "a page has no <meta http-equiv>"
PACKAGED = (
    "account.html, base.html, code_list.css, code_list.html, daywork_backup.css, "
    "daywork_backup.html, evidence.css, evidence.html, invoice.css, invoice.html, macros.html, "
    "overview.css, overview.html, overview_parts.html, owner_document.css, owner_document.html, "
    "owner_overview.css, owner_overview.html, owner_parts.html, owner_variations.css, "
    "owner_variations.html, page.css, performance.css, performance.html, "
    "progress_form.css, progress_form.html, reconciliation.css, reconciliation.html, tokens.css, "
    "week_sheets.css, week_sheets.html, yard_report.css, yard_report.html, yard_week.css, "
    "yard_week.html"
)
MARKS = '<i title="x">'


def packaged(name: str) -> str:
    return root("templates").joinpath(name).read_text(encoding="utf-8")


def folder_of(place: Path, files: dict[str, str]) -> Path:
    """Return a folder with these templates."""
    folder = place / "own"
    folder.mkdir()
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def page_of(folder: Path | None, view: object = LANDING) -> str:
    choices = RenderChoices(templates=folder, commands=COMMANDS)
    made = render(view, "html", recorded_at=RECORDED_AT, choices=choices)
    return made.decode("utf-8")


def with_content(place: Path, content: str) -> Path:
    """Return a folder whose statement is only this."""
    return folder_of(place, {"owner_variations.html": STATEMENT.replace("CONTENT", content)})


def refused(folder: Path) -> str:
    with pytest.raises(Refused) as caught:
        page_of(folder)
    return worded(caught.value)


def test_an_own_template_is_taken_in_place_of_the_packaged(tmp_path: Path) -> None:
    """A file with the name of a packaged template replaces it, and every other stays."""
    own = "body { color: #123456; }"
    whole = page_of(None)
    actual = page_of(folder_of(tmp_path, {"page.css": own}))

    assert own in actual
    assert ".running-left, .running-right, .foot { display: none; }" in whole
    assert ".running-left" not in actual
    assert "@page" not in actual
    assert "--slate" in actual
    assert Elements(actual).tags[:40] == Elements(whole).tags[:40]


def test_an_own_template_may_take_in_others(tmp_path: Path) -> None:
    """A yard may split its templates into files of its own, and use the packaged macros."""
    files = {
        "owner_variations.html": STATEMENT.replace(
            "CONTENT",
            '{% import "macros.html" as show %}{% include "greeting.html" %}'
            '{{ show.facts(page.facts, 2, "facts") }}',
        ),
        "greeting.html": "<p>Dear {{ page.facts[0].value }}, of {{ out.instant.year }}</p>",
    }
    text = Elements(page_of(folder_of(tmp_path, files))).text

    assert "Dear Osterby Ferry Guild, of 2026" in text
    assert "Status date 6 September 2026" in text


def test_templates_are_compiled_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second page of the same templates compiles none of them, and is the same page."""
    page = page_of(None)
    monkeypatch.setattr("jinja2.Environment.compile", None)

    assert page_of(None) == page


def test_a_template_that_was_changed_is_read_anew(tmp_path: Path) -> None:
    """What was compiled is kept for its text: other words in the same file make another page."""
    folder = with_content(tmp_path, "<p>first</p>")
    before = page_of(folder)
    (folder / "owner_variations.html").write_text(STATEMENT.replace("CONTENT", "<p>second</p>"))
    after = page_of(folder)

    assert ("<p>first</p>" in before, "<p>second</p>" in before) == (True, False)
    assert ("<p>first</p>" in after, "<p>second</p>" in after) == (False, True)


def test_a_page_of_own_templates_says_so(tmp_path: Path) -> None:
    """Its proof has the digest of the own templates used and the whole command."""
    css, macros = "p { margin: 0; }", packaged("macros.html")
    folder = folder_of(tmp_path, {"page.css": css, "macros.html": macros, "note.txt": "no"})
    whole = f"11:macros.html{len(macros.encode())}:{macros}8:page.css{len(css)}:{css}"
    expected = hashlib.sha256(whole.encode()).hexdigest()
    text = Elements(page_of(folder)).text
    usual = Elements(page_of(None)).text

    assert f"Digest of your templates {expected}" in text
    assert f"To reproduce {LANDING.remade_by} --templates {folder}" in text
    assert "own templates" not in usual
    assert f"To reproduce {LANDING.remade_by}" in usual
    assert "--templates" not in usual


def test_templates_leave_the_digest_of_the_content_alone(tmp_path: Path) -> None:
    """The same statement has the same digest, whatever it looks like."""
    page = page_of(folder_of(tmp_path, {"page.css": "p { margin: 0; }"}))

    assert f"Digest of the content {digest(LANDING)}" in Elements(page).text


def test_the_printed_command_names_paper_and_folder(tmp_path: Path) -> None:
    """A paper that is not the yard's, and a folder with a blank in its name, are in the command."""
    folder = tmp_path / "our pages"
    folder.mkdir()
    (folder / "page.css").write_text("p { margin: 0; }", encoding="utf-8")
    choices = RenderChoices("Letter", "A4", folder, commands=COMMANDS)
    page = render(LANDING, "html", recorded_at=RECORDED_AT, choices=choices).decode()
    usual = render(
        LANDING, "html", recorded_at=RECORDED_AT, choices=RenderChoices("Letter", "Letter")
    )
    expected = f"{LANDING.remade_by} --templates '{folder}' --paper Letter"

    assert f"To reproduce {expected}" in Elements(page).text
    assert "--paper" not in Elements(usual.decode()).text


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ("\n{{ page.titel }}", "2: 'Page object' has no attribute 'titel'"),
        ("\n\n{{ nobody }}", "3: 'nobody' is undefined"),
        ("{% if %}", "1: Expected an expression, got 'end of statement block'"),
        ("\n{{ page.title | loud }}", "2: No filter named 'loud'"),
        ("\n{{ page.title + 1 }}", '2: TypeError: can only concatenate str (not "int") to str'),
        ("{{ 1 // 0 }}", "1: ZeroDivisionError: integer division or modulo by zero"),
        (
            "\n{% for a in range(100001) %}{% endfor %}",
            "2: OverflowError: Range too big. The sandbox blocks ranges larger than"
            " MAX_RANGE (100000)",
        ),
        (
            "\n{{ page.__class__.__mro__ }}",
            "2: access to attribute '__class__' of 'Page' object is unsafe",
        ),
        (
            "\n{{ out.recorded_at.now() }}",
            "2: access to attribute 'now' of 'datetime' object is unsafe",
        ),
        ("{{ 'a' * 1000000000 }}", '1: "*" cannot be used here'),
        ("{{ 9 ** 999999999 }}", '1: "**" cannot be used here'),
        ("{{ '%999999999d' % 1 }}", '1: "%" cannot be used here'),
        ("\n{{ page.title | safe }}", '2: the filter "safe" cannot be used'),
        ("\n{% filter safe %}a{% endfilter %}", '2: the filter "safe" cannot be used'),
        ("{{ page.title | tojson }}", '1: the filter "tojson" cannot be used'),
        ("{{ page.facts | random }}", '1: the filter "random" cannot be used'),
        (
            "\n{% autoescape false %}{{ page.title }}{% endautoescape %}",
            "2: autoescape cannot be changed",
        ),
        ("{{ Markup(page.title) }}", "1: 'Markup' is undefined"),
        ("{{ lipsum() }}", "1: 'lipsum' is undefined"),
        ("{{ [page.title] | map('safe') | join }}", "1: No filter named 'safe'"),
        ("\n{% include 'gone.html' %}", '2: there is no template "gone.html"'),
        (
            "\n{% include '../own/page.css' %}",
            '2: a template is taken in by its plain name in quotes, such as "macros.html"',
        ),
        (
            "{% include page.title %}",
            '1: a template is taken in by its plain name in quotes, such as "macros.html"',
        ),
        (
            "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
            "1: RecursionError: maximum recursion depth exceeded",
        ),
    ],
)
def test_a_template_that_fails_is_named_with_its_line(
    content: str, what: str, tmp_path: Path
) -> None:
    """One message says file, line, what is wrong and what to do; there is no traceback."""
    folder = with_content(tmp_path, content)
    actual = re.sub("(depth exceeded)[^;]*", r"\1", refused(folder))

    assert actual == f"{folder}/owner_variations.html:{what}; {TO_DO}"


def test_a_failure_in_a_packaged_macro_names_the_own_line_that_called_it(tmp_path: Path) -> None:
    """Whoever gives a packaged macro the wrong thing is told where they did."""
    content = '{% import "macros.html" as show %}\n\n{{ show.table(page) }}'
    folder = with_content(tmp_path, content)

    assert refused(folder) == (
        f"{folder}/owner_variations.html:3: 'Page object' has no attribute 'rows'; {TO_DO}"
    )


def test_an_endless_page_is_stopped(tmp_path: Path) -> None:
    """Loops within loops that print go no further than the length of a page."""
    loops = "{% for a in range(99999) %}{% for b in range(99999) %}" + "x" * 9_999
    folder = with_content(tmp_path, f"{loops}{{% endfor %}}{{% endfor %}}")

    assert refused(folder) == (
        f"{folder}/owner_variations.html:1: OverflowError: "
        f"the page is longer than 50000000 characters; {TO_DO}"
    )


@pytest.mark.parametrize(
    "content",
    slow_beyond(
        4,
        [
            "{{ page.subject }}",
            "<b title='{{ page.subject }}'>",
            "{{ page.subject | e }}{{ page.subject | upper }}",
            "{{ [page.subject, page.subject] | join('<br>') }}",
            "{{ page.subject ~ page.subject }}",
            "{% set kept %}{{ page.subject }}{% endset %}{{ kept }}",
            "{% macro m(a) %}{{ a }}{% endmacro %}{{ m(page.subject) }}",
            "{% filter upper %}{{ page.subject }}{% endfilter %}",
            "{{ '%s' | format(page.subject) }}{{ '{}'.format(page.subject) }}",
            "{{ page.subject | replace('a', 'b') | indent | wordwrap(9) | trim }}",
        ],
    ),
)
def test_what_was_typed_stays_text_in_own_templates(content: str, tmp_path: Path) -> None:
    """However an own template writes a text of the book, it adds neither element nor attribute."""
    folder = with_content(tmp_path, content)
    title = '<script>alert(1)</script>" onload="x" \'><img src=x>'
    plain = Elements(page_of(folder))
    seen = Elements(page_of(folder, replace(LANDING, job=replace(LANDING.job, title=title))))

    assert seen.tags == plain.tags
    assert [name for name, _ in seen.attributes] == [name for name, _ in plain.attributes]


META = f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'


@pytest.mark.parametrize(
    ("before", "after"),
    slow_beyond(
        4,
        [
            (META, ""),
            (META, META.replace("'none'", "*")),
            (META, META.replace("data:", "data: https:")),
            (META, f"<script>a()</script>{META}"),
            (META, f"<!-- {META} -->"),
            (META, f"<p>words</p>{META}"),
            ("<head>", "words<head>"),
            ("<head>", "<body>"),
            ('<html lang="{{ language }}">', '<html lang="{{ language }}" onclick="a()">'),
        ],
    ),
)
def test_a_page_keeps_its_policy(before: str, after: str, tmp_path: Path) -> None:
    """A page without exactly the policy, or with anything before it, is not made."""
    base = packaged("base.html")
    folder = folder_of(tmp_path, {"base.html": base.replace(before, after)})

    assert before in base
    assert refused(folder) == (
        f"{folder}: the page must begin as the packaged base.html does, up to and including the "
        f"line of its Content-Security-Policy; {TO_DO}"
    )


@pytest.mark.parametrize(
    ("content", "what"),
    slow_beyond(
        10,
        [
            ("<script>a()</script>", "a page has no <script>"),
            ("<ScRiPt src=data:,a></ScRiPt>", "a page has no <script>"),
            ('<b onclick="a()">b</b>', "a page has no attribute onclick"),
            ('<meta http-equiv="refresh" content="0">', META_REFUSED),
            ('<link rel="preconnect" href="#">', "a page has no <link>"),
            ('<base href="#">', "a page has no <base>"),
            ("<form></form>", "a page has no <form>"),
            ("<svg><style><meta http-equiv=refresh content=0></style></svg>", META_REFUSED),
            ("<svg><style><p><form></form></style></svg>", "a page has no <form>"),
            ("<!--><script>a()</script>-->", "a page has no <script>"),
            ("<![CDATA[ ><script>a()</script>]]>", "a page has no <script>"),
            ('<svg><a><set attributeName="href" to="#"/></a></svg>', "a page has no <set>"),
            ('<img alt="" src="logo.png">', "a page loads nothing from elsewhere: src=logo.png"),
            (
                '<img alt="" src="https://example.org/a">',
                "a page loads nothing from elsewhere: src=https://example.org/a",
            ),
            (
                '<a href="javascript:a()">a</a>',
                "a page loads nothing from elsewhere: href=javascript:a()",
            ),
            (
                '<svg><image href="file:///a"/></svg>',
                "a page loads nothing from elsewhere: href=file:///a",
            ),
            ("<style>@import 'a.css';</style>", "a page has no @import"),
            ("<style>@media print { @\\69mport 'a.css'; }</style>", "a page has no @import"),
            ("<style>b { background: url(//a) }</style>", URL.format("//a")),
            ("<style>b { background: u\\72l('a.png') }</style>", URL.format("a.png")),
            ("<style>@font-face { src: url(file:///a) }</style>", URL.format("file:///a")),
            ("<style>b { cursor: -webkit-image-set('a.png' 1x) }</style>", URL.format("a.png")),
            ('<b style="background: URL( &quot;https://a&quot; )">b</b>', URL.format("https://a")),
            ('<svg><rect fill="url(https://a#b)"/></svg>', URL.format("https://a#b")),
            (f"<style>b {{ c: {'(' * 9_999}url(a) }}</style>", "a style is nested too deep"),
        ],
    ),
)
def test_a_page_that_would_run_or_load_is_refused(content: str, what: str, tmp_path: Path) -> None:
    """An own template cannot bring in what a browser would run, load or send."""
    folder = with_content(tmp_path, content)

    assert refused(folder) == f"{folder}: {what}; {TO_DO}"


@pytest.mark.parametrize(
    "content",
    slow_beyond(
        2,
        [
            '<img alt="mark" src="data:image/png;base64,AAAA">',
            '<a href="https://example.org/">the yard</a>',
            '<a href="#top">up</a>',
            '<p id="top" class="on">only</p>',
            '<style>b { background: url("data:image/png;base64,AAAA"); content: "url(a)" }</style>',
            '<svg><rect fill="url(#a)"/></svg>',
        ],
    ),
)
def test_a_page_may_hold_pictures_and_links(content: str, tmp_path: Path) -> None:
    """A picture inside the page and a link that a reader may follow are accepted."""
    page = page_of(with_content(tmp_path, content))

    assert content in page
    assert complaint(page) == ""


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A folder is never passed over in silence."""
    folder = tmp_path / "none"

    assert refused(folder) == f"{folder}: cannot be read: No such file or directory"


def test_a_folder_without_templates_is_refused(tmp_path: Path) -> None:
    """A folder in which nothing could be used says which names could."""
    folder = folder_of(tmp_path, {"page.css.old": "p {}"})

    assert refused(folder) == (
        f"{folder}: has no templates; those that can be replaced are {PACKAGED}"
    )


def test_a_slip_in_a_name_is_refused(tmp_path: Path) -> None:
    """A template that nothing takes in would change nothing; a user must hear of it."""
    folder = folder_of(tmp_path, {"page.css": "p {}", "tokns.css": "p {}"})

    assert refused(folder) == (
        f"{folder}/tokns.css: no page uses a template of this name; those that can be replaced are "
        f"{PACKAGED}"
    )


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    """Only what lies in the folder itself is read; a link to a file beside it is not."""
    outside = tmp_path / "outside.css"
    outside.write_text("p { margin: 0; }", encoding="utf-8")
    folder = folder_of(tmp_path, {})
    (folder / "page.css").symlink_to(outside)

    assert refused(folder) == (
        f"{folder}/page.css: leads out of the folder; copy the file itself into it"
    )


def test_a_link_within_the_folder_is_read(tmp_path: Path) -> None:
    """A link to another file of the same folder is that file."""
    folder = folder_of(tmp_path, {"newest.txt": "p { margin: 3mm; }"})
    (folder / "page.css").symlink_to("newest.txt")

    assert "p { margin: 3mm; }" in page_of(folder)


@pytest.mark.parametrize("make", [os.mkfifo, os.mkdir, lambda path: path.symlink_to("page.css")])
def test_what_is_no_file_is_refused(make: Callable[[Path], None], tmp_path: Path) -> None:
    """A pipe of a template's name is not waited for, nor is a folder or a circle of links read."""
    folder = folder_of(tmp_path, {})
    make(folder / "page.css")

    assert refused(folder) == f"{folder}/page.css: is not a file"


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"p { content: '\xff' }", "is not UTF-8; save it as UTF-8"),
        (b"/*" + b"x" * 999_997 + b"*/", "is longer than 1000000 bytes"),
    ],
)
def test_a_file_that_is_no_template_is_refused(content: bytes, what: str, tmp_path: Path) -> None:
    """A file too long or of other bytes than UTF-8 is not taken."""
    folder = folder_of(tmp_path, {})
    (folder / "page.css").write_bytes(content)

    assert refused(folder) == f"{folder}/page.css: {what}"


def test_a_file_of_the_greatest_length_is_taken(tmp_path: Path) -> None:
    """A million bytes are accepted."""
    page = page_of(folder_of(tmp_path, {"page.css": "/*" + "x" * 999_996 + "*/"}))

    assert "x" * 999_996 in page


@pytest.mark.slow
def test_own_templates_come_by_option_and_environment(
    yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`--templates` and FAIRHOURS_TEMPLATES are one; a page of another kind is as before."""
    build(yard)
    folder = folder_of(tmp_path, {"page.css": "p { margin: 3mm; }"})
    words = ["report", "variations", "--job", "STAGE", "--status-date", "2026-03-22", "--out"]

    def made(name: str, *more: object) -> bytes:
        yard.run(*words, tmp_path / name, *more)
        return (tmp_path / name).read_bytes()

    by_option = made("a.html", "--templates", folder)
    usual, sheet = made("b.html"), made("b.xlsx")
    monkeypatch.setenv("FAIRHOURS_TEMPLATES", str(folder))

    assert b"p { margin: 3mm; }" in by_option
    assert made("c.html") == by_option != usual
    assert made("c.xlsx") == sheet


def test_a_refused_template_is_one_message(yard: Yard, tmp_path: Path) -> None:
    """The command ends with exit code 1 and the one message, and writes nothing."""
    build(yard)
    folder = with_content(tmp_path, "{{ nobody }}")
    out = tmp_path / "v.html"
    words = ("report", "variations", "--job", "STAGE", "--templates", folder, "--out", out)
    outcome = yard.run(*words, ok=False)
    expected = f"{folder}/owner_variations.html:1: 'nobody' is undefined; {TO_DO}\n"

    assert (outcome.exit_code, outcome.stderr) == (1, expected)
    assert not out.exists()


@pytest.mark.parametrize("view", [LANDING, landing.without_requests()])
def test_packaged_pages_hold_nothing_to_complain_of(view: object) -> None:
    """What is asked of own templates holds for the packaged ones."""
    assert complaint(page_of(None, view)) == ""
