"""Pages carry their own fonts, once, and only those that their words need."""

import re
from dataclasses import replace
from io import BytesIO

import pytest
from fontTools.ttLib import TTFont

from ledger.reports.fonts import WEIGHTS, fonts_for
from tests.reports._landing import LANDING
from tests.reports._paper import html_of
from tests.reports.make_page_fonts import FAMILIES, FOLDER, KEPT, WHOLE, part, whole

FACE = re.compile(r'@font-face {\s*font-family: "([^"]*)";\s*font-weight: (\d+);')


@pytest.mark.slow
@pytest.mark.parametrize("weight", WHOLE)
@pytest.mark.parametrize("name", FAMILIES)
def test_the_packaged_fonts_are_what_the_script_makes(name: str, weight: str) -> None:
    """Every sign kept is there in the same width, and the reserved name is in none of the names."""
    made = TTFont(FOLDER / f"{name}-{weight}.woff2")
    all_of_it = whole(weight)
    signs, every = made.getBestCmap(), all_of_it.getBestCmap()
    advances, original = made["hmtx"], all_of_it["hmtx"]
    names = {str(made["name"].getName(number, 3, 1, 0x409)) for number in (1, 2, 3, 4, 6)}

    assert set(signs) == {sign for sign in every if KEPT[name](sign)}
    assert [s for s in signs if advances[signs[s]][0] != original[every[s]][0]] == []
    assert [each for each in (*names, *made["CFF "].cff.fontNames) if "Source" in each] == []
    assert TTFont(BytesIO(part(name, weight))).getBestCmap() == signs


def test_the_licence_lies_beside_the_fonts() -> None:
    """The SIL Open Font License goes with every part of the font (condition 2)."""
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FOLDER / "LICENSE.txt").read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "families"),
    [
        ("Kærby Værft, Łódź, 12 €", ["Page Sans"]),
        ("Ναυπηγείο", ["Page Sans", "Page Sans Two"]),
        ("Верфь", ["Page Sans", "Page Sans Two"]),
        ("造船所", ["Page Sans"]),
    ],
)
def test_only_fonts_that_are_needed_are_carried(words: str, families: list[str]) -> None:
    """Greek and Cyrillic bring their own font; other writing is left to the reader's system."""
    needed = [(font.family, font.weight) for font in fonts_for([words])]

    assert needed == [(family, number) for family in families for number in WEIGHTS.values()]


def test_a_page_carries_each_font_once() -> None:
    """The statement has one file of each weight, and asks for the family by that name first."""
    faces = FACE.findall(html_of(LANDING))
    with_greek = FACE.findall(html_of(replace(LANDING, remade_by="Ναυπηγείο")))

    assert faces == [("Page Sans", "400"), ("Page Sans", "600")]
    assert with_greek == [*faces, ("Page Sans Two", "400"), ("Page Sans Two", "600")]
    assert '--face: "Page Sans", ' in html_of(LANDING)
