"""Strips by themselves, outside a cycle: TEST, DIP, and what the colour says."""

from datetime import timedelta

from flows.parts.clinic import Kind
from flows.parts.events import Poured, StripRead
from tests.kit.talk import NINE, Talk

WEEK = NINE + timedelta(days=7)


def outcomes(talk: Talk) -> list[tuple[str, str]]:
    return [(event.outcome, event.because) for event in talk.happened(StripRead)]


def pour(talk: Talk, tag: str, kind: Kind, source: str) -> None:
    talk.let(
        Poured(tag, kind, source, "opa_055", "L1", talk.now, WEEK, "reuse_life", topped_up=False)
    )


def fails(talk: Talk, tag: str, phone: str = "ph1") -> list[str]:
    """Test that container by itself; the strip fails."""
    talk.sends(f"TEST {tag}", phone=phone, after=20)
    dips(talk, tag, phone)
    failed = int(first_digit(talk, tag)) + 1
    return talk.sends(str(failed), phone=phone, after=95)


def passes(talk: Talk, tag: str, phone: str = "ph1") -> list[str]:
    talk.sends(f"TEST {tag}", phone=phone, after=20)
    dips(talk, tag, phone)
    return talk.sends(first_digit(talk, tag), phone=phone, after=95)


def dips(talk: Talk, tag: str, phone: str = "ph1", after: float = 20) -> list[str]:
    """Dip a strip: with the number, where one is asked for; again, where it is asked if meant."""
    asked = max(talk.clinic.threads.values(), key=lambda thread: thread.asked_at)
    number = f" {asked.top.number}" if asked.top.number else ""
    heard = talk.sends(f"dip {tag}{number}", phone=phone, after=after)
    if talk.clinic.threads[asked.id].said_before:
        heard = talk.sends(f"dip {tag}{number}", phone=phone)
    return heard


def first_digit(talk: Talk, tag: str) -> str:
    (memo,) = [
        thread.top.memo
        for thread in talk.clinic.threads.values()
        if thread.top.step == "read" and thread.top.memo["container"] == tag
    ]
    return memo["first"]
