"""A job's calendar: holidays loaded late reach it, and a frozen one stays."""

from tests.conftest import Yard

SETTINGS = """
    [yard]
    name = "Tarn End Boat and Timber Works"
    currency = "EUR"
    holidays = "PT"
    """
JOB = """
    [job]
    code = "QUAY"
    title = "{title}"
    owner = "Sillmere Swimming Club"
    contract_sum = "1000.00"
    contract_date = 2026-04-01
    planned_start = 2026-04-20
    planned_finish = 2026-05-08
    """
LIBERTY_DAY = "2026-06-10"  # a Wednesday, and a national day of Portugal
ESTIMATE = """
    work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique
    WALL,Wall,civil,mason,10,2026-04-20,2026-05-08,percent_complete
    """


def days(yard: Yard) -> set[str]:
    return {row["day"] for row in yard.json("show", "job_day")}


def test_holidays_loaded_after_the_job_reach_its_calendar(yard: Yard) -> None:
    """The order of settings and job does not decide which days are worked."""
    yard.run("load", "job", yard.write("job.toml", JOB.format(title="Quay wall")))
    before = days(yard)
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))

    assert LIBERTY_DAY in before
    assert LIBERTY_DAY not in days(yard)


def test_holidays_loaded_after_the_freeze_leave_the_calendar(yard: Yard) -> None:
    """A frozen job keeps its calendar, and its title can still be corrected."""
    yard.run("load", "job", yard.write("job.toml", JOB.format(title="Quay wall")))
    yard.run("load", "estimate", "--job", "QUAY", yard.write("estimate.csv", ESTIMATE))
    yard.run("freeze", "--job", "QUAY", "--on", "2026-04-01")
    before = days(yard)
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    yard.run("load", "job", yard.write("job.toml", JOB.format(title="Quay wall and steps")))

    assert days(yard) == before
    assert yard.json("show", "job")[0]["title"] == "Quay wall and steps"


def test_the_working_week_of_a_frozen_job_stays(yard: Yard) -> None:
    """Another working week after the freeze is refused, with what to do."""
    yard.run("load", "job", yard.write("job.toml", JOB.format(title="Quay wall")))
    yard.run("load", "estimate", "--job", "QUAY", yard.write("estimate.csv", ESTIMATE))
    yard.run("freeze", "--job", "QUAY", "--on", "2026-04-01")
    text = JOB.format(title="Quay wall") + '    working_week = ["mon", "tue"]\n'
    outcome = yard.run("load", "job", yard.write("job.toml", text), ok=False)

    assert outcome.stderr == (
        "job.toml: working_week of a frozen job changes only by a named baseline change "
        "(`fairhours load job --baseline-change NAME`)\n"
    )


def test_the_planned_finish_of_a_frozen_job_stays(yard: Yard) -> None:
    """Another planned finish after the freeze is refused, with what does change."""
    yard.run("load", "job", yard.write("job.toml", JOB.format(title="Quay wall")))
    yard.run("load", "estimate", "--job", "QUAY", yard.write("estimate.csv", ESTIMATE))
    yard.run("freeze", "--job", "QUAY", "--on", "2026-04-01")
    text = JOB.format(title="Quay wall")
    finish = next(line for line in text.splitlines() if "planned_finish" in line)
    later = text.replace(finish, f"{finish.partition('=')[0]}= 2027-06-30")
    outcome = yard.run("load", "job", yard.write("job.toml", later), ok=False)

    assert outcome.stderr == (
        "job.toml: planned_finish of a frozen job stays as it was frozen; dates of its packages "
        "change by a named baseline change (`fairhours load estimate --baseline-change NAME`)\n"
    )
