"""Who worked on what: the yard's forty-two weeks, day by day, from a fixed seed.

Hours are whole quarters. What a package still takes is kept in hundredths of a quarter, so that
slow hands and cold weeks gain less by the quarter than they book.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from random import Random

from tests.demo import _changes, _events, _jobs, _yard
from tests.demo._notes import LOST, NOTES, REWORK, SUMMER_WX, WINTER_WX

SEED = 1919
FULL_DAY = 32
CHUNKS = (6, 7, 8, 8, 9, 10, 10, 12, 12, 14, 16, 18)
HELPS = {
    "plater": ("welder", "fitter"),
    "welder": ("plater",),
    "fitter": ("plater", "electrician"),
    "electrician": ("fitter",),
    "painter": ("shipwright",),
    "shipwright": ("painter",),
}
LEADS = {
    ("G01", "plater"): ("120", "122"),
    ("G02", "shipwright"): ("104",),
    ("G03", "fitter"): ("140",),
    ("S21", "shipwright"): ("104",),
    ("S21", "fitter"): ("140",),
    ("S21", "painter"): ("160",),
}


@dataclass
class Line:
    """One line of a sheet, before it is written out. `arrives` is the week its file came in."""

    week: int
    worker: str
    day: date
    quarters: int
    code: str
    job: str
    note: str = ""
    pay_class: str = "normal"
    trade: str = ""
    rework: str = ""
    arrives: int = 0


@dataclass
class Task:
    """What one trade still has to do on a package, a change or a piece of rework."""

    job: str
    code: str
    trade: str
    first: date
    last: date
    needs: int
    gained: int = 0
    rework: str = ""
    spent: int = 0
    begun: date | None = None
    ended: date | None = None

    @property
    def left(self) -> int:
        return max(0, self.needs - self.gained)

    def quota(self, day: date) -> int:
        """Return the quarters wanted on a day: what is left over the days left, at least four."""
        if day < self.first or not self.left:
            return 0
        if self.left <= 800:
            return -(-self.left // 100)
        ahead = sum(1 for _ in _yard.working_days(day, self.last))
        return -(-self.left // (100 * max(4, ahead)))


@dataclass
class Yard:
    """The run of the yard: tasks, lines, and each package's share done by day in hundredths."""

    rng: Random = field(default_factory=lambda: Random(SEED))
    tasks: list[Task] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    shares: dict[tuple[str, date], int] = field(default_factory=dict)
    lately: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    said: dict[tuple[str, str], int] = field(default_factory=lambda: defaultdict(int))
    week: int = 1
    today: date = _yard.FIRST_MONDAY


def run() -> Yard:
    """Return the yard after its last week."""
    yard = Yard(tasks=[*_package_tasks(), *_change_tasks(), *_rework_tasks()])
    for week in range(1, _yard.WEEKS + 1):
        yard.week = week
        for weekday in range(7):
            day = yard.today = _yard.day_of(week, weekday)
            _omit(yard, day)
            if weekday < 6:
                _work_day(yard, day)
            _note_shares(yard, day)
    return yard


def _package_tasks() -> Iterable[Task]:
    for package in _jobs.packages():
        if package.kind:
            continue
        first = _yard.day_of(package.weeks[0] + package.slip)
        last = _yard.day_of(package.weeks[1] + package.slip + package.longer, 4)
        for trade, hours in package.hours.items():
            yield Task(package.job, package.code, trade, first, last, hours * 4 * package.took)


def _change_tasks() -> Iterable[Task]:
    for request in _changes.REQUESTS:
        for trade, hours, week, weeks in request.work:
            first, last = _yard.day_of(week), _yard.day_of(week + weeks - 1, 4)
            yield Task(request.job, request.code, trade, first, last, hours * 400)


def _rework_tasks() -> Iterable[Task]:
    for again in _events.AGAIN:
        first, last = _yard.day_of(again.week), _yard.day_of(again.week + again.weeks - 1, 4)
        needs = again.hours * 400
        yield Task("FERRY", again.code, again.trade, first, last, needs, rework=again.cause)


def _omit(yard: Yard, day: date) -> None:
    """Take out of the tasks what an approval of this day omits, and add what was detailed."""
    moved: dict[tuple[str, str], int] = defaultdict(int)
    for request in _changes.REQUESTS:
        for event in request.events:
            if event.name == "approved" and _yard.day_of(*event.day) == day:
                for line in request.lines:
                    if line[4].startswith("-") and line[0] == str(event.revision):
                        moved[line[8], line[3]] += int(line[4])
    for name, place, _, _, rows in _changes.BASELINE_CHANGES:
        if _yard.day_of(*place) == day and name == "BC2":
            for code, trade, hours in rows:
                moved[code, trade] += int(hours)
    for task in yard.tasks:
        if not task.rework:
            task.needs += moved.get((task.code, task.trade), 0) * 400


# --- one day -----------------------------------------------------------------------------------


@dataclass
class Hand:
    """A worker on a day, with the quarters left to fill and the lines so far by task."""

    worker: _yard.Worker
    left: int
    pay_class: str = "normal"
    done: dict[tuple[int, str], int] = field(default_factory=dict)


def _work_day(yard: Yard, day: date) -> None:
    hands = _present(yard, day)
    tasks = [task for task in yard.tasks if task.quota(day)]
    wanted = {id(task): task.quota(day) for task in tasks}
    _lead(yard, hands, tasks, wanted)
    plain = [task for task in tasks if (task.code, task.trade) not in LEADS]
    for hand in _shuffled(yard, hands):
        own = [task for task in plain if task.trade == hand.worker.trade]
        _fill(yard, hand, own, wanted)
    for hand in _shuffled(yard, hands):
        helps = [task for task in plain if task.trade in HELPS[hand.worker.trade]]
        _fill(yard, hand, helps, wanted)
    for task in plain:
        more = 0 if task.code == "G04" else task.quota(day) * 3 // 4
        wanted[id(task)] += min(more, task.left // 100)
    for hand in _shuffled(yard, hands):
        own = [task for task in plain if task.trade == hand.worker.trade]
        _fill(yard, hand, own, wanted)
    for hand in hands:
        if hand.left > 0 and hand.pay_class == "normal":
            _write(yard, (hand, day), ("SLIP", "", "", ""), hand.left)
        _settle(yard, hand, day, plain)


def _shuffled(yard: Yard, hands: list[Hand]) -> list[Hand]:
    mixed = list(hands)
    yard.rng.shuffle(mixed)
    return mixed


def _lead(yard: Yard, hands: list[Hand], tasks: list[Task], wanted: dict[int, int]) -> None:
    for task in tasks:
        for number in LEADS.get((task.code, task.trade), ()):
            for hand in hands:
                lead = hand.worker.number == number and hand.worker.grade == "lead"
                if lead and wanted[id(task)] >= 1 and hand.pay_class == "normal":
                    about = wanted[id(task)] + yard.rng.choice((-4, -2, 0, 0, 2, 4))
                    _take(hand, task, min(max(2, about // 2 * 2), hand.left))
                    wanted[id(task)] = 0


def _weight(task: Task, day: date, wanted: int, lately: set[str]) -> int:
    """Return how a task draws a hand: yesterday's work does, and what is late more still."""
    drawn = wanted * (4 if task.code in lately else 1)
    return drawn * 10 + 300 if day > task.last else drawn


def _fill(yard: Yard, hand: Hand, tasks: list[Task], wanted: dict[int, int]) -> None:
    lately, day = yard.lately[hand.worker.number], yard.today
    while hand.left > 0:
        found = [task for task in tasks if wanted[id(task)] >= 1]
        if not found:
            return
        weights = [_weight(task, day, wanted[id(task)], lately) for task in found]
        task = yard.rng.choices(found, weights)[0]
        chunk = min(yard.rng.choice(CHUNKS), hand.left, max(4, wanted[id(task)]))
        if hand.left - chunk < 3:
            chunk = hand.left
        _take(hand, task, chunk)
        wanted[id(task)] -= chunk


def _take(hand: Hand, task: Task, quarters: int) -> None:
    if quarters > 0:
        key = (id(task), task.code)
        hand.done[key] = hand.done.get(key, 0) + quarters
        hand.left -= quarters


def _settle(yard: Yard, hand: Hand, day: date, plain: list[Task]) -> None:
    """Write the hand's lines of the day and count what they gained."""
    by_id = {id(task): task for task in yard.tasks}
    if hand.done:
        yard.lately[hand.worker.number] = {code for _, code in hand.done}
    for (key, _), quarters in hand.done.items():
        task = by_id[key]
        trade = task.trade if task.trade != hand.worker.trade else ""
        _write(yard, (hand, day), (task.code, task.job, trade, task.rework), quarters)
        task.spent += quarters
        task.begun = task.begun or day
        task.gained += quarters * _gain(hand.worker, task, yard.week)
        if not task.left and task.ended is None:
            task.ended = day


def _gain(worker: _yard.Worker, task: Task, week: int) -> int:
    """Return what a quarter gains in hundredths: less in the cold, by apprentices, by new hands."""
    if task.rework or task.code.startswith(("CR", "SR", "G", "S21")):
        return 100
    gain = 100
    if worker.trade in {"plater", "welder"} and week <= 9:
        gain -= 6
    if worker.trade == "painter" and (week <= 10 or week >= 38):
        gain -= 8
    if worker.trade == "shipwright" and week >= 37:
        gain -= 5
    if worker.grade == "apprentice":
        gain -= 18
    if worker.employment == "agency" and _yard.week_of(worker.begins) + 3 > week:
        gain -= 12
    return gain


def _write(
    yard: Yard, who: tuple[Hand, date], where: tuple[str, str, str, str], quarters: int
) -> None:
    hand, day = who
    code, job, trade, rework = where
    line = Line(yard.week, hand.worker.number, day, quarters, code, job)
    line.note = _note(yard, code, rework, day)
    line.pay_class, line.trade, line.rework = hand.pay_class, trade, rework
    yard.lines.append(line)


def _note(yard: Yard, code: str, rework: str, day: date) -> str:
    """Return what is written beside a line, often nothing; a package's words go with its share."""
    words = REWORK[rework] if rework else NOTES.get(code, ("",))
    if code == "WX":
        words = WINTER_WX if day.month in {1, 2, 3, 10, 11, 12} else SUMMER_WX
    place = yard.rng.randrange(len(words))
    if not rework and code in NOTES and code not in LOST and not code.startswith("G"):
        done = yard.shares.get((code, day - _yard.DAY), 0) * len(words) // 10000
        near = (-1, 0) if code.startswith("T0") else (-2, -1, 0, 0, 1)
        place = max(0, min(len(words) - 1, done + yard.rng.choice(near)))
    written = yard.rng.randrange(100) < (85 if rework or code in LOST else 45)
    word = words[place] if written else ""
    yard.said[code, word] += 1
    often = 99 if code in LOST else 7
    return word if yard.said[code, word] <= often else ""


# --- who is there ------------------------------------------------------------------------------


def _present(yard: Yard, day: date) -> list[Hand]:
    workers = _yard.on_books(day)
    if day.weekday() == 5:
        came = _events.SATURDAYS.get(yard.week, ())
        return [
            Hand(worker, yard.rng.choice((16, 20, 24)), "overtime")
            for worker in workers
            if worker.number in came
        ]
    hands = []
    for worker in workers:
        if code := _away(worker, day):
            hand = Hand(worker, 0, "leave" if code in {"LEAVE", "HOL"} else "sick")
            hand.pay_class = "normal" if code == "SCHOOL" else hand.pay_class
            _write(yard, (hand, day), (code, "", "", ""), FULL_DAY)
        elif day not in _yard.HOLIDAYS or day in _yard.SHUTDOWN:
            hands.append(_begin(yard, worker, day))
            hands += _evening(yard, worker, day)
    return hands


def _away(worker: _yard.Worker, day: date) -> str:
    for number, first, last, code in _events.AWAY:
        if number == worker.number and _yard.day_of(*first) <= day <= _yard.day_of(*last):
            return "HOL" if day in _yard.HOLIDAYS else code
    if day in _yard.HOLIDAYS and worker.employment != "agency":
        if day not in _yard.SHUTDOWN:
            return "HOL"
        return "" if worker.number in _events.STAYED else "LEAVE"
    return ""


def _begin(yard: Yard, worker: _yard.Worker, day: date) -> Hand:
    """Return the hand with what is taken off its day: the talk, the broom, what went wrong."""
    hand = Hand(worker, FULL_DAY)
    if day.weekday() == 0:
        _spend(yard, (hand, day), ("TALK", ""), 1)
    if day.weekday() == 4 and yard.rng.randrange(10) < 8:
        _spend(yard, (hand, day), ("CLEAN", ""), yard.rng.choice((2, 2, 3, 4)))
    for lost in _events.LOST:
        if day in lost.days and worker.trade in lost.trades and yard.rng.randrange(10) < lost.odds:
            quarters = lost.quarters + yard.rng.choice((-4, -2, 0, 2, 4))
            _spend(yard, (hand, day), (lost.code, lost.job), quarters)
    return hand


def _spend(yard: Yard, who: tuple[Hand, date], where: tuple[str, str], quarters: int) -> None:
    hand, _ = who
    taken = min(quarters, hand.left)
    if taken > 0:
        _write(yard, who, (*where, "", ""), taken)
        hand.left -= taken


def _evening(yard: Yard, worker: _yard.Worker, day: date) -> list[Hand]:
    stayed = worker.trade in _events.EVENINGS.get(yard.week, ())
    if stayed and day.weekday() in {1, 2, 3} and yard.rng.randrange(10) < 5:
        return [Hand(worker, yard.rng.choice((4, 6, 8)), "overtime")]
    return []


def _note_shares(yard: Yard, day: date) -> None:
    needs: dict[str, int] = defaultdict(int)
    gained: dict[str, int] = defaultdict(int)
    for task in yard.tasks:
        if not task.rework:
            needs[task.code] += task.needs
            gained[task.code] += min(task.gained, task.needs)
    for code, whole in needs.items():
        yard.shares[code, day] = gained[code] * 10000 // whole if whole else 0
