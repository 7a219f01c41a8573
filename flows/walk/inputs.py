"""What may come in at a moment: right, wrong, doubled, muddled, late, from another phone."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from flows.catalogue import COMMANDS, FLOWS
from flows.parts.clinic import Batch, Bell, Clinic, Kind, Thread
from flows.parts.events import (
    ClockStepped,
    PhoneOptedOut,
    Quarantined,
    QuarantineLifted,
    Recalled,
    StripRead,
    TextUndelivered,
)
from flows.parts.situation import Situation, protocol_of
from flows.parts.step import Step
from flows.rules.recall import LOT, STRIP_LOT
from flows.rules.soak import must_measure_again
from flows.rules.strip import longest_age
from flows.sign_in import holder
from flows.walk.labels import activations, dates, lots
from flows.walk.room import Bells, Down, Facts, Input, Pin, Room, Text
from flows.words import ENGLISH

A_SECOND = timedelta(seconds=1)
A_TENTH = Decimal("0.1")
MUDDLE = ("", "bla", "what?", "ok", "1", "4", "7", "68")
FROM_ELSEWHERE = ("clean", "take", "fault", "used", "discard", "check")
"""What another phone says that can touch this one's work."""


@dataclass(frozen=True, slots=True)
class Chance:
    """An input, and how far it strays from the work going as it should: 0 is the work itself."""

    strays: int
    input: Input


def chances(room: Room) -> Iterator[Chance]:
    """Everything worth trying here, the work itself first."""
    open_questions = sorted(threads(room.clinic), key=lambda each: each.asked_at, reverse=True)
    for thread in open_questions:
        yield from _answers(room, thread, _aside(room.clinic, thread, open_questions[0]))
    bell = room.next_bell()
    if bell:
        yield Chance(_is_waited_out(room, bell, open_questions[:1]), Bells())
        yield Chance(1, Bells(timedelta(minutes=10)))
        yield Chance(1, Bells(timedelta(hours=2)))
    yield from _signs_in(room)
    yield from _beginnings(room)
    yield from _commands(room)
    yield from _facts(room)
    yield Chance(1, Down(timedelta(days=1)))


def _signs_in(room: Room) -> Iterator[Chance]:
    """On a shared phone somebody says who is holding it."""
    for phone in room.clinic.phones.values():
        asked = [thread.person for thread in on_phone(room.clinic, phone.id)]
        wanted = asked[-1] if asked else phone.people[0]
        is_due = holder(phone, room.now) != wanted
        for person in (*phone.people, None) if phone.shared else ():
            yield Chance(0 if person == wanted and is_due else 1, Pin(phone.id, person))


def _beginnings(room: Room) -> Iterator[Chance]:
    """CLEAN is where all work begins: free of charge where hands are free."""
    free = all(_waits(thread) for thread in threads(room.clinic))
    for label, device in room.clinic.devices.items():
        if device.cycle is None:
            yield Chance(0 if free else 1, Text("ph1", f"CLEAN {label}"))


# -- answers to the open question ---------------------------------------------------------------


def _is_waited_out(room: Room, bell: Bell, latest: list[Thread]) -> int:
    """To let a bell ring before one answers is to stray, where an answer was possible before."""
    if bell.due <= room.now + A_SECOND:
        return 0
    if bell.stage or bell.kind in {"strip", "contact"} or not latest:
        return int(bell.kind == "overdue" and bell.stage == 1)
    if _waits(latest[0]):
        return 0
    return int(bell.due > room.now + time_for(room, latest[0], asking(latest[0])))


def _aside(clinic: Clinic, thread: Thread, latest: Thread) -> int:
    """To leave the latest question for another is to stray, unless a bell calls to the other."""
    cycle = clinic.cycles.get(thread.cycle or "")
    called = cycle is not None and cycle.contact is not None and cycle.contact.rung is not None
    return 0 if called or thread.id == latest.id or _waits(latest) else 1


def _waits(thread: Thread) -> bool:
    return asking(thread).patience is None


def _answers(room: Room, thread: Thread, aside: int) -> Iterator[Chance]:
    step = asking(thread)
    phone, named = thread.phone, len(on_phone(room.clinic, thread.phone)) > 1
    device = device_of(room.clinic, thread)
    label = f"{device} " if device and named else ""
    wait = time_for(room, thread, step)
    for strays, body in right_answers(room, thread, step):
        yield Chance(strays + aside, Text(phone, label + body, wait))
        yield Chance(1 + strays, Text(phone, label + body))
        if label:
            yield Chance(1 + strays, Text(phone, body, wait))
    for body in (*MUDDLE, *near_misses(step)):
        yield Chance(1, Text(phone, body, wait))
    if thread.top.step == "read":
        yield from _untimely(room, phone, thread, label)
    if thread.top.step == "soaking":
        yield from _before_the_bell(room, phone, thread, label)


def _untimely(room: Room, phone: str, thread: Thread, label: str) -> Iterator[Chance]:
    """A strip read too early, and too late."""
    dipped = datetime.fromisoformat(thread.top.memo.get("dipped", room.now.isoformat()))
    first = int(thread.top.memo.get("first", "1"))
    late = longest_age(room.protocol.strip) + 4 * A_SECOND
    for age in (5 * A_SECOND, late, late + 75 * A_SECOND):
        wait = max(dipped + age - room.now, A_SECOND)
        for digit in (first, first + 1):
            yield Chance(1, Text(phone, f"{label}{digit}", wait))


def _before_the_bell(room: Room, phone: str, thread: Thread, label: str) -> Iterator[Chance]:
    """The right number guessed when the contact time is complete and the bell's margin is not."""
    soak = room.clinic.cycles[thread.cycle or ""].contact
    if soak and soak.rung is None and soak.due - 2 * A_SECOND > room.now:
        wait = soak.due - 2 * A_SECOND - room.now
        yield Chance(1, Text(phone, f"{label}OUT {soak.number}", wait))


def asking(thread: Thread) -> Step:
    """The step whose question is open."""
    return FLOWS[thread.top.flow].steps[thread.top.step]


def device_of(clinic: Clinic, thread: Thread) -> str:
    """The label of the device that a conversation is about; empty for none."""
    cycle = clinic.cycles.get(thread.cycle or "")
    return cycle.device if cycle else ""


def time_for(room: Room, thread: Thread, step: Step) -> timedelta:
    """As long as hands need before an answer is believed; for a strip, until it can be read."""
    least = step.at_least(looking(room, thread))
    if step.name == "read":
        dipped = datetime.fromisoformat(thread.top.memo.get("dipped", room.now.isoformat()))
        return max(dipped + room.protocol.strip.read_after + A_SECOND - room.now, A_SECOND)
    return max(thread.asked_at + least - room.now, timedelta(0)) + A_SECOND


def looking(room: Room, thread: Thread) -> Situation:
    """What the step of *thread* sees."""
    return Situation(
        clinic=room.clinic,
        phone=room.clinic.phones[thread.phone],
        person=room.clinic.people.get(thread.person),
        vocabulary=ENGLISH,
        today=lambda _: room.protocol,
        history=room.history,
        names={},
        thread=thread,
    )


def right_answers(room: Room, thread: Thread, step: Step) -> Iterator[tuple[int, str]]:
    """What the step accepts: the answer that carries the work on first, then the others."""
    special = _SPECIAL.get(f"{thread.top.flow}/{step.name}")
    if special:
        yield from special(room, thread)
        return
    number = f" {thread.number}" if thread.number else ""
    for place, slug in enumerate(step.answers):
        word = ENGLISH.word(slug)
        yield (min(place, 1), f"{word}{number}")
        if number:
            yield 1, word
            yield 1, f"{word} {wrong_number(room.clinic)}"


def wrong_number(clinic: Clinic) -> int:
    """A two-digit number that nothing here bears."""
    soaks = [soak for each in clinic.cycles.values() for soak in (each.contact, each.detergent)]
    borne = {soak.number for soak in soaks if soak} | {each.number for each in threads(clinic)}
    return next(number for number in range(60, 100) if number not in borne)


def on_phone(clinic: Clinic, phone: str) -> list[Thread]:
    """The open conversations of one phone."""
    return [each for each in threads(clinic) if each.phone == phone]


def threads(clinic: Clinic) -> tuple[Thread, ...]:
    """Every open conversation."""
    return tuple(clinic.threads.values())


def _into(room: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    number = f"{thread.number} " if thread.number else ""
    warm, least = _warm(room), room.protocol.chemistry.minimum_temperature_c
    yield 0, f"IN {number}{warm}"
    for bath in (least, least - A_TENTH, "68", "55", f"{_fahrenheit(warm)} F", ""):
        yield 1, f"IN {number}{bath}"
    yield 1, f"IN {wrong_number(room.clinic)} {warm}"
    yield 1, f"IN {warm}"
    yield 1, "AGAIN"


def _warm(room: Room) -> Decimal:
    """Warm enough not to be measured again."""
    return room.protocol.chemistry.minimum_temperature_c + 4


def _fahrenheit(celsius: Decimal) -> Decimal:
    return celsius * 9 / 5 + 32


def _out_of(room: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    cycle = room.clinic.cycles.get(thread.cycle or "")
    soak = cycle.contact if cycle else None
    warm, cold = _warm(room), room.protocol.chemistry.minimum_temperature_c - 1
    if cycle and soak and soak.rung:
        near = must_measure_again(cycle.celsius_in or warm, protocol_of(cycle))
        owed = near or "out" in thread.top.memo
        yield 0, f"OUT {soak.number} {warm}" if owed else f"OUT {soak.number}"
        yield 1, f"OUT {soak.number} {cold}"
        yield 1, f"OUT {soak.number} 68"
        yield 0, f"OUT {soak.number}"
    yield 1, f"OUT {wrong_number(room.clinic)}"
    yield 1, "OUT"
    yield from ((1, f"IN {warm}"), (1, f"IN {cold}"), (1, "IN USE"), (1, "AGAIN"))


def _covers(room: Room, _: Thread) -> Iterator[tuple[int, str]]:
    """And one that says that it is in a bath, though its soak is over."""
    yield from ((0, "COVERED"), (1, "DRAPED"), (1, f"IN {_warm(room)}"))


def _colours(_: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    first = int(thread.top.memo.get("first", "1"))
    yield from ((0, str(first)), (1, str(first + 1)), (1, str(first + 2)))


def _dips(room: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    number = f" {thread.number}" if thread.number else ""
    asked = thread.top.memo.get("container", "")
    yield 0, f"DIP {asked}{number}"
    if number:
        yield 1, f"DIP {asked}"
    yield 1, f"DIP{number}"
    yield 1, "DIP Q7"
    yield from ((1, f"DIP {tag}{number}") for tag in list(room.clinic.containers)[:2])


def _mixtures(_: Room, __: Thread) -> Iterator[tuple[int, str]]:
    yield from ((0, "MIXED L7"), (1, "MIXED NONE"), (1, "MIXED"), (1, "LATER"))


def _strengths(_: Room, __: Thread) -> Iterator[tuple[int, str]]:
    yield from ((0, "5% 2 L"), (1, "70% POWDER 2 L"), (1, "0.05% 2 L"), (1, "2 L"), (1, "LATER"))


def _codes(_: Room, __: Thread) -> Iterator[tuple[int, str]]:
    yield from ((0, "0412"), (1, "NONE"), (1, "0412 0413"), (1, "Maria"))


def _pours(_: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    aside = int(thread.cycle is not None)
    if thread.top.memo.get("kind") == "bottle":
        yield from ((0, "FILLED"), (aside, "TOPPED"), (1, "POURED"))
    else:
        yield from ((0, "POURED"), (aside, "TOPPED"), (1, "LATER"), (1, "FILLED"))


def _controls(_: Room, thread: Thread) -> Iterator[tuple[int, str]]:
    has_sample = bool(thread.top.memo.get("sample"))
    yield from ((int(not has_sample), "GOOD"), (1, "UNSURE"), (int(has_sample), "LATER"))


def _old_tags(room: Room, _: Thread) -> Iterator[tuple[int, str]]:
    yield from ((0, "NONE"), (1, "Q7"))
    yield from ((0, tag) for tag in list(room.clinic.containers)[:3])


def _either(*slugs: str) -> Callable[[Room, Thread], Iterator[tuple[int, str]]]:
    """Where no answer is more usual than another."""
    return lambda _, __: iter([(0, ENGLISH.word(slug)) for slug in slugs])


_SPECIAL = {
    "cycle/stayed": _either("stayed", "moved"),
    "oversight/lift": _either("lifted", "away"),
    "cycle/immerse": _into,
    "cycle/warm": _into,
    "cycle/back_in": _into,
    "cycle/soaking": _out_of,
    "cycle/cover": _covers,
    "strip_test/read": _colours,
    "strip_test/dip": _dips,
    "containers/fill": _pours,
    "containers/topped": _old_tags,
    "containers/topped_which": _old_tags,
    "containers/jug": dates,
    "containers/activate": activations,
    "containers/single_use": _strengths,
    "containers/to_wipe": _strengths,
    "containers/strips": dates,
    "containers/jug_lot": lots,
    "containers/strips_lot": lots,
    "containers/strips_check": _controls,
    "containers/mixed": _mixtures,
    "cycle/codes": _codes,
    "use/code": _codes,
}


def near_misses(step: Step) -> tuple[str, ...]:
    """Two letters of an answer swapped."""
    words = [ENGLISH.word(slug) for slug in step.answers[:1]]
    return tuple(word[1] + word[0] + word[2:] for word in words)


# -- commands and facts -------------------------------------------------------------------------


def _commands(room: Room) -> Iterator[Chance]:
    clinic = room.clinic
    things = [*clinic.devices, *_tags(clinic)]
    yield Chance(1, Text("ph1", ENGLISH.word("topped")))
    for phone, slugs in (("ph1", COMMANDS), ("ph2", FROM_ELSEWHERE)):
        for slug in slugs:
            word = ENGLISH.word(slug)
            bodies = [word, *(f"{word} {thing}" for thing in things)]
            bodies += [f"{word} {label} 0412" for label in clinic.devices if slug == "used"]
            bodies += [f"{word} 2 L"] if slug == "mix" else []
            yield from (Chance(1, Text(phone, body)) for body in bodies)
    for label, device in clinic.devices.items():
        in_hand = int(device.cycle is not None or bool(clinic.threads))
        yield Chance(in_hand, Text("ph9", f"LIFT {label}"))
        signs = any(thread.top.step == "sign_off" for thread in threads(clinic))
        yield Chance(0 if signs else 1, Text("ph9", f"TAKE {label}"))


def _tags(clinic: Clinic) -> tuple[str, ...]:
    """The latest container of each kind: more of the same teach nothing."""
    return tuple({each.kind: each.tag for each in clinic.containers.values()}.values())


def _facts(room: Room) -> Iterator[Chance]:
    yield Chance(1, Facts("undelivered", (TextUndelivered("ph1", "o1", "30003"),)))
    yield Chance(1, Facts("opted out", (PhoneOptedOut("ph1"),)))
    for label in room.clinic.devices:
        found = (Quarantined(label, "board"), QuarantineLifted(label))
        yield Chance(1, Facts(f"{label} in doubt and out of it", found))
    for seconds in (-60, 60, 3600):
        step = timedelta(seconds=seconds)
        yield Chance(1, Facts(f"clock {seconds:+}", (ClockStepped(step),)))
    for tag in _tags(room.clinic):
        yield Chance(1, Facts(f"{tag} fails", (_failed(room, tag),)))
    for what, batch in _batches(room.clinic).items():
        if room.clinic.recall_of(batch) is None:
            yield Chance(1, Facts(f"{what} recalled", (_recalled(room, what, batch),)))


def _batches(clinic: Clinic) -> dict[str, Batch]:
    """S18: the lot of the first jug that is there, and that of the first strips."""
    jugs = (each for each in clinic.containers.values() if each.kind is Kind.JUG)
    first = {LOT: next(jugs, None), STRIP_LOT: next(iter(clinic.strips.values()), None)}
    return {what: Batch(each.product, each.lot) for what, each in first.items() if each}


def _recalled(room: Room, what: str, batch: Batch) -> Recalled:
    recall = f"recall{room.count}"
    return Recalled(recall, what, batch.product, batch.lot or "L0", "", "digest", room.now)


def _failed(room: Room, tag: str) -> StripRead:
    return StripRead(
        test=f"elsewhere{room.count}",
        container=tag,
        strips="S1",
        cycle=None,
        outcome="fail",
        seen="fail",
        because="",
        age=timedelta(seconds=95),
        age_proved=True,
        day=room.now.date(),
        good_until=None,
    )
