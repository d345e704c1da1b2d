"""Make the fonts that pages carry from the whole ones: python -m tests.reports.make_page_fonts.

They are parts of Source Sans Pro. The SIL Open Font License 1.1 asks that such have another name
and keep the licence, which lies beside them: "Page Sans" has the signs of Latin writing, "Page Sans
Two" those of Greek and Cyrillic, each in the two weights of a page.
"""

import unicodedata
from importlib.resources import as_file, files
from io import BytesIO
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

FOLDER = Path(__file__).resolve().parents[2] / "templates" / "fonts"
WHOLE = {"regular": "SourceSansPro-Regular.otf", "semibold": "SourceSansPro-Semibold.otf"}
FAMILIES = {"page-sans": "Page Sans", "page-sans-two": "Page Sans Two"}
STYLES = {"regular": "Regular", "semibold": "Semibold"}
FEATURES = ["ccmp", "kern", "locl", "mark", "mkmk"]
# Of its names a part keeps copyright, version, trademark, makers and licence (OpenType, "name").
LEFT_AS_THEY_ARE = (0, 5, 7, 8, 9, 11, 13, 14)


def is_latin(sign: int) -> bool:
    """Return whether pages of Latin writing need a sign: letters of Europe, marks, symbols."""
    return sign < 0x250 or 0x300 <= sign < 0x370 or 0x1E00 <= sign < 0x1F00 or sign >= 0x2000


def is_second(sign: int) -> bool:
    """Return whether a sign is a letter of today's Greek or of Cyrillic, or stands between such.

    A blank is set in the font of the words beside it: without one it would be no sign at all.
    """
    if 0x20 <= sign <= 0x40 or sign == 0xA0:
        return True
    name = unicodedata.name(chr(sign), "")
    return 0x370 <= sign < 0x530 and name.startswith(("GREEK", "CYRILLIC"))


KEPT = {"page-sans": is_latin, "page-sans-two": is_second}


def whole(weight: str) -> TTFont:
    """Return the whole font of a weight, as its package has it."""
    with as_file(files("font_source_sans_pro").joinpath("files", WHOLE[weight])) as path:
        return TTFont(path, recalcTimestamp=False)


def part(name: str, weight: str) -> bytes:
    """Return the WOFF2 of a part of the font, under its own name."""
    font = whole(weight)
    options = subset.Options(
        layout_features=FEATURES, hinting=False, name_IDs=LEFT_AS_THEY_ARE, notdef_outline=True
    )
    options.drop_tables += ["BASE", "DSIG"]
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[sign for sign in font.getBestCmap() if KEPT[name](sign)])
    subsetter.subset(font)
    rename(font, FAMILIES[name], STYLES[weight])
    font.flavor = "woff2"
    made = BytesIO()
    font.save(made)
    return made.getvalue()


def rename(font: TTFont, family: str, style: str) -> None:
    """Give a part the names it goes by, none of which has the word the licence reserves."""
    post_script = f"{family}-{style}".replace(" ", "")
    names = {1: family, 2: style, 3: post_script, 4: f"{family} {style}", 6: post_script}
    for number, text in names.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    compact = font["CFF "].cff
    compact.fontNames = [post_script]
    compact[0].FullName, compact[0].FamilyName = f"{family} {style}", family


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name in FAMILIES:
        for weight in WHOLE:
            (FOLDER / f"{name}-{weight}.woff2").write_bytes(part(name, weight))
    licence = files("font_source_sans_pro").joinpath("files", "LICENSE.txt").read_bytes()
    (FOLDER / "LICENSE.txt").write_bytes(licence)


if __name__ == "__main__":
    main()
