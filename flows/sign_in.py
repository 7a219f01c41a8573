"""Who is holding the shared phone (S14)."""

from datetime import datetime, timedelta

from flows.parts.clinic import Phone
from flows.parts.decision import Decision, Saying
from flows.parts.events import HolderSignedIn, WrongPin
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say

HELD_FOR = timedelta(hours=10)
"""A sign-in lasts a shift. Source: common practice, none published."""

MISSES = 5
LOCKED_FOR = timedelta(minutes=15)
"""S14: after this many wrong PINs the phone is locked for this long, and somebody is told.
Source: common practice, none published. Signing in as oneself between does not wipe misses out:
whoever shares the phone could guess a colleague's PIN for ever, unseen."""


def holder(phone: Phone, now: datetime) -> str | None:
    """Who is speaking: the one person of a phone of one's own, or whoever signed in."""
    if not phone.shared:
        return phone.people[0] if phone.people else None
    if phone.holder is None or phone.held_since is None or now - phone.held_since >= HELD_FOR:
        return None
    return phone.holder


def is_locked(phone: Phone, now: datetime) -> bool:
    """S14: locked out after repeated misses."""
    return phone.locked_until is not None and now < phone.locked_until


def was_sent_before(phone: Phone, sent_at: datetime) -> bool:
    """Whether a carrier has kept a text until somebody else had the phone: it is not theirs.

    A carrier may have kept number and PIN as well. The gateway dates a text to the second.
    """
    return phone.held_from is not None and sent_at + timedelta(seconds=1) < phone.held_from


def not_of_now(_: Situation) -> Decision:
    """What was sent before this one signed in is no answer of theirs."""
    text = say(
        "sign_in.not_of_now",
        "That was sent before you signed in here, so I have not taken it. If you mean it, send it "
        "once more.",
    )
    return Decision(says=(Saying(text),))


def ask(_: Situation) -> Decision:
    """Who is holding it? Number and PIN in one text; the PIN is masked before it is stored."""
    text = say(
        "sign_in.ask",
        "This phone is shared. Who is holding it? Reply your number and your PIN, like 2 4711. "
        "Then send your text again.",
    )
    return Decision(says=(Saying(text),))


def accepted(situation: Situation, person: str, *, hears: bool = False) -> Decision:
    """The right PIN: everything from now on is theirs, and what stands below it is heard too."""
    name = situation.names.get(person, "?")
    welcome = say(
        "sign_in.welcome", "Hello {person}. Now send your text again, or {menu}.", person=name
    )
    text = say("sign_in.hello", "Hello {person}.", person=name) if hears else welcome
    signed_in = HolderSignedIn(situation.phone.id, person, situation.sent_at)
    return Decision(events=(signed_in,), says=(Saying(text),))


def _wrong() -> Text:
    return say("sign_in.wrong", "Number or PIN is not right. Reply both once more, like 2 4711.")


def _locked() -> Text:
    return say(
        "sign_in.locked",
        "Number or PIN was wrong too often: this phone is locked for {span}. Bells ring on all "
        "the same. Your contact is told.",
        span=LOCKED_FOR,
    )


def refused(situation: Situation, moment: Moment) -> Decision:
    """A wrong PIN says nothing of whose it might be."""
    misses = situation.phone.misses(moment.now) + 1
    until = moment.now + LOCKED_FOR if misses >= MISSES else None
    text = _locked() if until else _wrong()
    return Decision(events=(WrongPin(situation.phone.id, until),), says=(Saying(text),))
