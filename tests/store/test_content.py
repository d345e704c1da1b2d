"""Content is kept in the book as bytes by digest."""

import hashlib

import duckdb

from tests.conftest import Yard

SETTINGS = """
    [yard]
    name = "Tarn End Boat and Timber Works"
    currency = "EUR"
    logo = "mark.svg"
    """
MARK = '<svg xmlns="http://www.w3.org/2000/svg" width="1" height="1"/>\n'


def with_logo(yard: Yard) -> Yard:
    yard.write("mark.svg", MARK)
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    return yard


def test_a_logo_is_kept_by_its_digest(yard: Yard) -> None:
    """The logo named in the settings is in the book, and the setting holds its SHA-256."""
    with_logo(yard)
    settings = {row["name"]: row["value"] for row in yard.json("show", "settings")}

    assert settings["yard.logo"] == hashlib.sha256(MARK.encode()).hexdigest()
    assert yard.run("check").exit_code == 0


def test_the_same_content_is_kept_once(yard: Yard) -> None:
    """Loading the settings again adds no second copy and no batch."""
    with_logo(yard)
    before = yard.run("history", "--format", "csv").stdout
    with_logo(yard)

    assert yard.run("history", "--format", "csv").stdout == before


def test_a_missing_logo_changes_nothing(yard: Yard) -> None:
    """A logo that is not there is refused with its path."""
    outcome = yard.run("load", "settings", yard.write("settings.toml", SETTINGS), ok=False)

    assert outcome.stderr == f"{yard.folder / 'mark.svg'}: there is no such file\n"


def test_a_logo_that_is_no_picture_is_refused(yard: Yard) -> None:
    """A text or a program is no logo, whatever it is called."""
    yard.write("mark.svg", "Tarn End\n")
    outcome = yard.run("load", "settings", yard.write("settings.toml", SETTINGS), ok=False)

    assert outcome.stderr == "mark.svg: is not a PNG, JPEG or SVG; name another logo\n"


def test_changed_bytes_of_content_are_found(yard: Yard) -> None:
    """A byte changed in kept content is named with batch and table."""
    with_logo(yard)
    with duckdb.connect(str(yard.book)) as connection:
        trigger = connection.execute(
            "SELECT sql FROM duckdb_triggers() WHERE trigger_name = 'content_refuses_update'"
        ).fetchone()
        assert trigger is not None
        connection.execute("DROP TRIGGER content_refuses_update ON content")
        connection.execute("UPDATE content SET data = 'x'::BLOB")
        connection.execute(trigger[0])
    outcome = yard.run("check", ok=False)

    assert outcome.stderr == "batch 2: table content: row 1 does not match its digest\n"
