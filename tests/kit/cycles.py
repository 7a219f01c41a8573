"""A whole cycle played as a worker would: each open question answered, each bell waited for.

The player looks at which question is open and never at what the answer does, so that it plays a
coached cycle and a brief one, with cautions or without, with a bath at hand or none.
"""

import re
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any, cast

from flows.answer import BellIn, TextIn
from flows.parts.clinic import Cycle, Level, Soak, Thread
from flows.parts.events import Event, PersonEnrolled
from flows.replies.typed import tidy
from tests.kit.talk import Talk

ANSWERS = {
    "codes": "none",
    "cautions": "ready",
    "take_cautions": "ready",
    "stayed": "stayed",
    "inspect": "sound",
    "wipe_detergent": "soaped",
    "wipe_water": "water",
    "wipe_disinfectant": "wet",
    "wipe_rinse": "wiped",
    "mix": "mixed",
    "mixed": "mixed L79",
    "under": "under",
    "jug": "270331",
    "jug_lot": "L77",
    "activate": "active",
    "single_use": "5% 2 L",
    "single_use_mixed": "fresh",
    "to_wipe": "5% 1 L",
    "to_wipe_mixed": "fresh",
    "strips": "270331",
    "strips_lot": "L78",
    "strips_check": "good",
    "fill": "poured",
    "dry": "dry",
    "container": "tub",
    "inspect_after": "sound",
    "final_rinse": "flushed",
    "final_dry": "dried",
    "final_inspect": "good",
    "cover": "covered",
    "sign_off": "whole",
}
"""What somebody answers who has done it all, and well."""

HANDS_NEED_S = {
    "under": 100,
    "wipe_rinse": 70,
    "read": 95,
    "final_rinse": 190,
    "cover": 190,
    "single_use_mixed": 40,
    "to_wipe_mixed": 40,
}
"""Seconds; any other act takes `A_MOMENT_S`."""

A_MOMENT_S = 20
ZERO = timedelta(0)
MOST_STRIPS = 6
"""Three that must pass and three that must fail: the quality control of every strip shipped."""

WARM_ENOUGH = "23"
MOST_QUESTIONS = 60


@dataclass(frozen=True, slots=True)
class Played:
    """What went over the phone."""

    sent: list[str] = field(default_factory=list)
    heard: list[str] = field(default_factory=list)


def play_cycle(  # noqa: PLR0913  a worker can differ in as many ways
    talk: Talk,
    device: str = "V1",
    level: Level | None = None,
    *,
    phone: str = "ph1",
    until: str = "",
    celsius: str = "",
    named: bool = False,
) -> Played:
    """Play a cycle from where it stands to its end, or *until* that step is the open question.

    *level* enrols the person of the phone at another one first; *named* puts the device's label
    before every answer, as it must be with two cycles on one phone. The bath is 3 C above the
    protocol's minimum, unless *celsius* says otherwise.
    """
    celsius = celsius or str(talk.protocol.chemistry.minimum_temperature_c + 3)
    _enrol_at(talk, phone, level)
    sent: list[str] = []
    already = len(talk.heard.get(phone, []))
    if not talk.clinic.devices[device].cycle:
        _send(talk, sent, f"CLEAN {device}", phone, A_MOMENT_S)
    for _ in range(MOST_QUESTIONS):
        thread = thread_of(talk, device)
        if thread is None or thread.top.step == until:
            return Played(sent, talk.heard.get(phone, [])[already:])
        said = _answer(talk, thread, device, phone, celsius)
        if said:
            label = f"{device} " if named else ""
            wait = _hands_need_s(talk, thread.top.step)
            _send(talk, sent, label + said, phone, wait)
    raise AssertionError(f"{device} is still being cleaned after {MOST_QUESTIONS} questions.")


def _hands_need_s(talk: Talk, step: str) -> int:
    if step in {"read", "strips_check"}:
        dips = MOST_STRIPS * talk.protocol.strip.dip_for if step == "strips_check" else ZERO
        return int((dips + talk.protocol.strip.read_after).total_seconds()) + 5
    return HANDS_NEED_S.get(step, A_MOMENT_S)


def thread_of(talk: Talk, device: str) -> Thread | None:
    """The conversation in which that device is cleaned; None where it is not."""
    cycle = talk.clinic.devices[device].cycle
    threads = talk.clinic.threads.values()
    return next((each for each in threads if cycle and each.cycle == cycle), None)


def cycle_of(talk: Talk, device: str = "V1") -> Cycle:
    """The open cycle of that device."""
    return talk.clinic.cycles[talk.clinic.devices[device].cycle or ""]


def step_of(talk: Talk, device: str = "V1") -> str:
    """The step whose question is open for that device; empty where there is none."""
    thread = thread_of(talk, device)
    return thread.top.step if thread else ""


def number_for(talk: Talk, device: str = "V1", phone: str = "ph1") -> str:
    """The number in the last text about that device, as a reader sees it."""
    for text in reversed(talk.heard[phone]):
        found = re.search(r"(?:OUT|RINSED|IN) (\d\d)\b(?!\.\d)", text)
        if found and re.search(rf"\b{device}\b", text):
            return found[1]
    raise AssertionError(f"No number for {device} was heard.")


def wait_for_bell(talk: Talk, device: str = "V1") -> None:
    """Let time pass until the running soak's bell has rung."""
    cycle = cycle_of(talk, device)
    soak = cycle.contact or cycle.detergent
    if soak:
        _wait_for(talk, soak)


def _wait_for(talk: Talk, soak: Soak) -> None:
    if soak.rung is None:
        talk.wait(seconds=max(soak.due - talk.now, timedelta(0)).total_seconds())


def _enrol_at(talk: Talk, phone: str, level: Level | None) -> None:
    person = talk.clinic.people[talk.clinic.phones[phone].people[0]]
    if level is None or level is person.level:
        return
    at = replace(person, level=level)
    talk.let(PersonEnrolled(at.id, at.number, at.role, at.level, at.may_release, at.language))


def _send(talk: Talk, sent: list[str], body: str, phone: str, after_s: int) -> None:
    talk.sends(body, phone=phone, after=after_s)
    sent.append(body)


def _answer(talk: Talk, thread: Thread, device: str, phone: str, celsius: str) -> str:
    step, memo = thread.top.step, thread.top.memo
    if step in {"await_detergent", "soaking"}:
        return _at_the_bell(talk, step, device, phone, celsius)
    if step == "dip":
        number = f" {thread.number}" if thread.number else ""
        return f"dip {memo['container']}{number}"
    if step == "read":
        return memo["first"]
    if step == "rinse":
        return f"rinsed {number_for(talk, device, phone)}"
    if step in {"immerse", "warm", "back_in"}:
        number = f"{number_for(talk, device, phone)} " if thread.number else ""
        return f"in {number}{celsius}"
    is_bottle = step == "fill" and memo.get("kind") == "bottle"
    return "filled" if is_bottle else ANSWERS[step]


def _at_the_bell(talk: Talk, step: str, device: str, phone: str, celsius: str) -> str:
    """Waited for; then OUT with its number, and the temperature where the text asks for it."""
    wait_for_bell(talk, device)
    if step == "await_detergent":
        return ""
    asked = talk.heard[phone][-1]
    measured = f" {celsius}" if re.search(r"OUT \d\d \d\d\.5", asked) else ""
    return f"out {number_for(talk, device, phone)}{measured}"


def falsify(talk: Talk, kind: type[Event], **changes: Any) -> None:
    """Make the record say something else of every event of that kind: what-if evidence."""
    talk.entries = [
        replace(each, event=replace(cast("Any", each.event), **changes))
        if isinstance(each.event, kind)
        else each
        for each in talk.entries
    ]


def arrives(talk: Talk, body: str, sent_at: datetime, phone: str = "ph1") -> list[str]:
    """A text that is handled now, and that the gateway says was sent at *sent_at*."""
    before = len(talk.heard.get(phone, []))
    text = TextIn(phone, tidy(body), sent_at, inbound=f"late{talk.count}")
    talk.exchange(text, phone=phone, person=talk.holder(phone))
    return talk.heard.get(phone, [])[before:]


def rings_late(talk: Talk, bell: str, late: timedelta) -> None:
    """Ring that bell so long after its time: whoever rings bells was down meanwhile."""
    talk.now = talk.clinic.bells[bell].due + late
    talk.exchange(BellIn(bell, late))
