"""Keys and values of TOML files: each is used or refused, with its line, all faults at once."""

import pytest

from ledger.domain.currencies import CURRENCIES
from ledger.tables.toml_keys import lines_of_keys
from tests._stage import SAMPLE, batches, table
from tests.conftest import Yard

ONE = "1 fault; nothing was loaded"


def refused(stage: Yard, thing: str, text: str) -> list[str]:
    """Load a file that is refused; return what is said. No batch may be added."""
    before = batches(stage)
    said = stage.run("load", thing, stage.write(f"{thing}.toml", text), ok=False).stderr
    assert batches(stage) == before
    return said.splitlines()


SETTINGS = [
    ('[yard]\ncurrancy = "EUR"', "unknown key yard.currancy; did you mean currency?"),
    ('[yard]\nCURRENCY = "EUR"', "unknown key yard.CURRENCY; did you mean currency?"),
    ('[yard]\nrounding = "0.05"', "yard.rounding is not used by this version yet; leave it out"),
    (
        '[yard]\nlocale = "de_DE"',
        'yard.locale "de_DE" is not a known language; '
        "use en, de, or one with its country, as de-AT",
    ),
    (
        '[yard]\naddress = "[x"',
        'yard.address is not a list of lines; write address = ["Quay 1", "Port"]',
    ),
    (
        '[yard]\naddress = [["Quay 1"], 3]',
        'yard.address is not a list of lines; write address = ["Quay 1", "Port"]',
    ),
    (
        '[yard]\ncurrency = "EURO"',
        'yard.currency "EURO" is not a currency code of ISO 4217; write it as EUR',
    ),
    (
        '[yard]\ncurrency = "eur"',
        'yard.currency "eur" is not a currency code of ISO 4217; did you mean EUR?',
    ),
    (
        '[yard]\nholidays = "XX"',
        'yard.holidays "XX" is not a known country or part of one; write PT, or DE-BY for a part',
    ),
    (
        '[yard]\nholidays = "DE-XX"',
        'yard.holidays "DE-XX" is not a known country or part of one; '
        "write PT, or DE-BY for a part",
    ),
    (
        '[yard]\nholidays = "PT-"',
        'yard.holidays "PT-" is not a known country or part of one; write PT, or DE-BY for a part',
    ),
    (
        '[yard]\nzone = "Europe/Zurick"',
        'yard.zone "Europe/Zurick" is not a time zone; did you mean Europe/Zurich?',
    ),
    ('[yard]\nweek_start = "mondays"', 'yard.week_start "mondays" is not a weekday; write monday'),
    ('[yard]\nname = " "', "yard.name is blank; fill it in"),
    (
        '[yard]\nname = "Mere\\nYard"',
        "yard.name has a line end or control character; write it on one line",
    ),
    ("[yard]\nname = true", "yard.name true is not text; write it in quotes"),
    (
        "[non_productive]\nRAIN = true",
        'non_productive.RAIN names no cause; write RAIN = "weather"',
    ),
    ("[absence]\nRAIN = 'away'\nrain = 'away'", "absence.RAIN appears twice; leave one out"),
    (
        "[causes.weather]\nasked = 'yard'",
        "unknown key causes.weather.asked; did you mean asked_by?",
    ),
    (
        '[causes.weather]\nborne_by = "owner"',
        'causes.weather.borne_by "owner" is not allowed: time becomes the owner\'s only by a '
        "change request; write yard or undecided",
    ),
]


@pytest.mark.parametrize(("text", "message"), SETTINGS)
def test_a_setting_that_is_not_used_or_does_not_fit_is_refused(
    stage: Yard, text: str, message: str
) -> None:
    """A setting that is unknown, not used yet or cannot be is refused at its line."""
    line = text.count("\n") + 1

    assert refused(stage, "settings", text) == [f"settings.toml:{line}: {message}", ONE]


def test_all_faults_of_settings_are_told_at_once(stage: Yard) -> None:
    """Unknown tables, keys and values are told together, in the order of their lines."""
    text = """
        [yrad]
        name = "Mere"

        [yard]
        nmae = "Mere"
        zone = "Mars"

        [rounding]
        money = "half_even"
    """

    assert refused(stage, "settings", text) == [
        "settings.toml:1: unknown table yrad; did you mean yard?",
        "settings.toml:5: unknown key yard.nmae; did you mean name?",
        'settings.toml:6: yard.zone "Mars" is not a time zone; write it as Europe/Lisbon',
        "settings.toml:8: rounding is not used by this version yet; leave it out",
        "4 faults; nothing was loaded",
    ]


CARD = (SAMPLE / "job.toml").read_text(encoding="utf-8")
DATES = '[[key_dates]]\nname = "Launch"\ndate = {}\npackages = ["DECK"]\n'
JOBS = [
    ('owner_sees_overrun = "no"', 'owner_sees_overrun "no" is not true or false; '
     "write one, without quotes"),
    ("owner_sees_overrum = true", "unknown key job.owner_sees_overrum; "
     "did you mean owner_sees_overrun?"),
    ('target_hours = "9"', "job.target_hours is not used by this version yet; "
     "leave it out"),
    ('[[authority]]\nperson = "Jonna"\nmay = ["sign"]', 'may ["sign"] is not a list of instruct, '
     "approve"),
    ('[[authority]]\nperson = "Jonna"\n[[authority]]\nperson = "jonna"', '"jonna" appears twice; '
     "leave one out"),
    ("[delay_damages]\npercent = 5", "delay_damages is not used by this version yet; leave it out"),
    ('[[keydates]]\nname = "Launch"', "unknown table keydates; did you mean key_dates?"),
    (DATES.format('"2026-13-01"'), 'date "2026-13-01" is not a date; '
     "write it as 2026-05-31, without quotes"),
    (DATES.format("2062-03-20"), "date 2062-03-20 is outside the job's calendar, "
     "2025-03-01 to 2032-03-31"),
    (DATES.format("2026-03-20").replace("DECK", "DEKC"), 'key date "Launch": unknown package '
     'or change "DEKC" in job STAGE'),
    (DATES.format("2026-03-20").replace('"DECK"', '"DECK", "deck"'), "packages names DECK twice; "
     "leave one out"),
    (DATES.format("2026-03-20").replace("packages", "package"), "unknown key key_dates.package; "
     "did you mean packages?"),
    ("[daywork]\nlabour_percent = -5", "labour_percent \"-5\" is below zero"),
    ("[daywork]\nlabor_percent = 5", "unknown key daywork.labor_percent; "
     "did you mean labour_percent?"),
    ('[daywork]\npremium = "double"', 'premium "double" is unknown; '
     "use one of rate, cost_only, none"),
    ("daywork = 5", "daywork is not a table; write [daywork]"),
    ('[[provisional_sums]]\nname = "Winch"\namount = "-1"', 'amount "-1" is below zero'),
    ('[[provisional_sums]]\nname = "Winch"', "a provisional sum has no amount"),
    ('[[provisional_sums]]\nname = "Winch"\namount = 1\n[[provisional_sums]]\n'
     'name = "winch"\namount = 2', 'provisional sum "winch" appears twice'),
    ('language = "German"', 'language "German" is not a known language; '
     "use en, de, or one with its country, as de-AT"),
    ('omissions_carry_additions = "no"', 'omissions_carry_additions "no" is not true or false; '
     "write one, without quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("added", "message"), JOBS)
def test_what_a_job_says_is_used_or_refused(stage: Yard, added: str, message: str) -> None:
    """A key of a job that is unknown, not used yet or does not fit is refused."""
    said = refused(stage, "job", CARD.replace("owner_sees_overrun = true\n", "") + added)

    assert message in [line.partition(": ")[2] for line in said]


def test_a_name_of_the_job_is_not_blank(stage: Yard) -> None:
    """A title is text, on one line, and not blank."""
    said = refused(stage, "job", CARD.replace("Landing stage at Sillmere", " "))

    assert said == ["job.toml:4: title is blank; fill it in", ONE]


def test_a_key_date_waits_for_its_packages_until_the_freeze(yard: Yard) -> None:
    """The job is loaded before its estimate; one without a package of a key date is not frozen."""
    card = CARD + DATES.format("2026-03-20").replace("DECK", "pier")
    yard.run("load", "job", yard.write("job.toml", card))
    yard.run("load", "rates", SAMPLE / "rates.csv")
    said = yard.run("load", "estimate", "--job", "STAGE", SAMPLE / "estimate.csv").stderr
    yard.run("load", "milestones", "--job", "STAGE", SAMPLE / "milestones.csv")
    refusal = yard.run("freeze", "--job", "STAGE", "--on", "2026-02-23", ok=False).stderr
    yard.run("load", "job", yard.write("job.toml", card.replace("pier", "deck")))
    yard.run("freeze", "--job", "STAGE", "--on", "2026-02-23")

    assert said.splitlines()[-1] == (
        'estimate.csv: key date "Launch" names PIER, which is not in this estimate; '
        "until it is, the job cannot be frozen"
    )
    assert refusal == (
        'job STAGE: key date "Launch" names PIER, which is not in the estimate; '
        "correct either and load it again\n"
    )


def test_holidays_may_be_of_a_part_of_a_country(yard: Yard) -> None:
    """Epiphany is a holiday in Bavaria and not in all of Germany."""
    yard.run("load", "settings", yard.write("s.toml", '[yard]\nholidays = "DE-BY"\n'))
    yard.run("load", "job", yard.write("job.toml", CARD))
    days = {row["day"] for row in table(yard, "job_day")}

    assert ("2026-01-06" in days, "2026-01-07" in days) == (False, True)


def test_the_line_of_a_key_is_found_in_any_way_to_write_it() -> None:
    """Tables, lists of tables, dotted and quoted keys and long texts have their lines."""
    text = 'a = 1\n[b.c]\n"d e" = """\nf = 1\n"""\ng.h = 2\n[[k]]\nm = 1\n[[k]]\nm = 2\n'

    assert lines_of_keys(text) == {
        ("a",): 1,
        ("b",): 2,
        ("b", "c"): 2,
        ("b", "c", "d e"): 3,
        ("b", "c", "g"): 6,
        ("b", "c", "g", "h"): 6,
        ("k",): 7,
        ("k", 0): 7,
        ("k", 0, "m"): 8,
        ("k", 1): 9,
        ("k", 1, "m"): 10,
    }


def test_currencies_are_those_that_are_paid_in() -> None:
    """The list holds the currencies of the standard, no metals, funds or codes for tests."""
    assert len(CURRENCIES) == 157
    assert {"EUR", "CHF", "XOF"} <= CURRENCIES
    assert not {"XAU", "XTS", "CHE", "HRK"} & CURRENCIES
