"""People, and the phones they hold: names, numbers and PINs stay out of the record (S14, S15)."""

from collections.abc import Sequence

from bot.registers.draft import Draft
from bot.registers.rows import (
    NAME_WANTED,
    NUMBER_WANTED,
    PHONE_WANTED,
    PIN_WANTED,
    YES_NO_WANTED,
    Reading,
    Row,
    listed,
    name,
    number,
    one_of,
    pin,
    short_number,
    yes_no,
)
from bot.registers.set_up import Named, Numbered
from bot.texts.catalogue import PSEUDO, languages
from flows.parts.clinic import Level, Person, Phone, Role
from flows.parts.events import PersonEnrolled, PhoneEnrolled

PERSON = ("number", "name", "role", "level", "may_release", "language", "phone", "pin")
PHONE = ("number", "people", "shared")


def spoken() -> tuple[str, ...]:
    """The languages a person may be enrolled with."""
    return tuple(language for language in languages() if language != PSEUDO)


def add_people(draft: Draft, rows: Sequence[Row]) -> None:
    """People, then the phones named beside them: one number beside two people is shared."""
    holders: dict[str, list[Person]] = {}
    rows_of: dict[str, Row] = {}
    for row in rows:
        _add_person(draft, row, holders, rows_of)
    for phone_number, people in holders.items():
        _enrol(draft, rows_of[phone_number], phone_number, people, shared=len(people) > 1)


def _add_person(
    draft: Draft, row: Row, holders: dict[str, list[Person]], rows_of: dict[str, Row]
) -> None:
    reading = Reading(row, PERSON)
    called = reading.read("name", name, NAME_WANTED)
    own_pin = reading.read_if_there("pin", pin, PIN_WANTED)
    phone_number = reading.read_if_there("phone", number, PHONE_WANTED)
    event = _enrolment(draft, reading)
    draft.problems += reading.problems
    if reading.problems:
        return
    draft.happen(event)
    hashed = draft.hash_pin(own_pin) if own_pin else None
    draft.names.append(Named(event.person, called, hashed))
    if hashed:
        draft.with_pin.add(event.person)
    if phone_number:
        holders.setdefault(phone_number, []).append(draft.clinic.people[event.person])
        rows_of[phone_number] = row


def _enrolment(draft: Draft, reading: Reading) -> PersonEnrolled:
    short = reading.read("number", short_number, NUMBER_WANTED)
    role = reading.read("role", one_of([*Role]), listed([*Role]))
    level = reading.read("level", one_of([*Level]), listed([*Level]))
    may_release = reading.read("may_release", yes_no, YES_NO_WANTED)
    language = reading.read("language", one_of(spoken()), listed(spoken()))
    if short and draft.person(short):
        reading.refuse("number", f"is {short}, which somebody has or had; take another")
    if may_release and role == Role.TRAINEE:
        reading.refuse("may_release", "is yes, but a trainee cannot release; say no")
    return PersonEnrolled(
        person=draft.moment.ident(f"person/{short}"),
        number=short,
        role=Role(role or Role.WORKER),
        level=Level(level or Level.COACH),
        may_release=may_release,
        language=language,
    )


def add_phone(draft: Draft, row: Row) -> None:
    """A phone for people who are there already, by their short numbers."""
    reading = Reading(row, PHONE)
    phone_number = reading.read("number", number, PHONE_WANTED)
    shared = reading.read_if_there("shared", yes_no, YES_NO_WANTED)
    people = [_known(draft, reading, each) for each in row.cells.get("people", "").split()]
    if not people:
        reading.refuse("people", "is missing; give the numbers of those who hold it, like 3 4")
    draft.problems += reading.problems
    if not reading.problems:
        held_by = [person for person in people if person]
        _enrol(draft, row, phone_number, held_by, shared=bool(shared) or len(held_by) > 1)


def _known(draft: Draft, reading: Reading, typed: str) -> Person | None:
    short = short_number(typed)
    person = draft.person(short) if short else None
    if person is None:
        reading.refuse("people", f"names {typed}, and nobody here has that number")
    return person


def _enrol(
    draft: Draft, row: Row, phone_number: str, people: Sequence[Person], *, shared: bool
) -> None:
    known = draft.whose(phone_number)
    if known and known.site != draft.site:
        draft.refuse(row.where, "phone", f"is enrolled at {known.site}; a number has one site")
        return
    phone = draft.clinic.phones.get(known.phone) if known else None
    held_by = [*(phone.people if phone else ()), *(person.id for person in people)]
    held_by = list(dict.fromkeys(held_by))
    shared = shared or len(held_by) > 1 or (phone is not None and phone.shared)
    if shared:
        _expect_pins(draft, row, held_by)
    phone_id = phone.id if phone else draft.moment.ident(f"phone/{len(draft.clinic.phones)}")
    draft.happen(PhoneEnrolled(phone_id, tuple(held_by), shared))
    if phone is None:
        draft.numbers.append(Numbered(phone_id, phone_number))


def _expect_pins(draft: Draft, row: Row, people: Sequence[str]) -> None:
    """S14: a shared phone asks who is holding it, so everybody on it needs a PIN."""
    for person in people:
        if person not in draft.with_pin:
            short = draft.clinic.people[person].number
            reason = f"is missing for number {short}, who shares a phone; {PIN_WANTED}"
            draft.refuse(row.where, "pin", reason)


def own_phones(phones: Sequence[Phone], person: str) -> tuple[str, ...]:
    """The phones that are one person's alone."""
    return tuple(phone.id for phone in phones if phone.people == (person,))
