"""What a site would be with the rows read so far: each row is checked against those before it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from bot.registers.set_up import Named, Numbered, SetUp
from bot.store.live import load
from bot.store.people import Known, find_phone, names_of, pin_hash_of
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Person
from flows.parts.decision import KeptText
from flows.parts.events import Event, Stamped
from flows.parts.moment import Moment
from flows.parts.state import fold
from flows.protocols import shipped
from flows.protocols.model import Problem, Shelf


class NotSetUp(Exception):
    """What was wanted cannot be set up; nothing has been changed. One line a problem."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands already: the clinic, who is known by name and by PIN, and whose a number is."""

    clinic: Clinic = field(default_factory=Clinic)
    named: frozenset[str] = frozenset()
    with_pin: frozenset[str] = frozenset()
    whose: Callable[[str], Known | None] = lambda _: None


def standing(store: Store, site: str) -> Standing:
    """How a site stands; an empty clinic where there is none of that name."""

    def whose(number: str) -> Known | None:
        with store.read() as connection:
            return find_phone(connection, number)

    with store.read() as connection:
        clinic = load(connection, site).clinic
        people = frozenset(names_of(connection, site))
        hashes = {person: pin_hash_of(connection, site, person) for person in people}
    with_pin = frozenset(person for person, hashed in hashes.items() if hashed)
    return Standing(clinic, people, with_pin, whose)


@dataclass(slots=True)
class Draft:
    """A set-up in the making."""

    site: str
    moment: Moment
    clinic: Clinic
    whose: Callable[[str], Known | None]
    with_pin: set[str]
    hash_pin: Callable[[str], str]
    shelf: Shelf = field(default_factory=shipped)
    events: list[Event] = field(default_factory=list)
    names: list[Named] = field(default_factory=list)
    numbers: list[Numbered] = field(default_factory=list)
    texts: list[KeptText] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    """What whoever enters it should know, though it stands."""

    def happen(self, event: Event) -> None:
        self.events.append(event)
        self.clinic = fold(self.clinic, Stamped(event, self.moment.now))

    def refuse(self, where: str, key: str, reason: str) -> None:
        self.problems.append(Problem(where, key, reason))

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.clinic.site.zone if self.clinic.site else "UTC")

    def person(self, number: int) -> Person | None:
        people = self.clinic.people.values()
        return next((each for each in people if each.number == number), None)

    def done(self) -> SetUp:
        """All of it. Raises NotSetUp with every problem there was."""
        if self.problems:
            raise NotSetUp(tuple(dict.fromkeys(self.problems)))
        return SetUp(
            site=self.site,
            at=self.moment.now,
            events=tuple(self.events),
            names=tuple(self.names),
            numbers=tuple(self.numbers),
            texts=tuple(self.texts),
            zone=self.zone,
            remarks=tuple(self.remarks),
        )
