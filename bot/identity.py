"""PINs: read from a text, masked, hashed, compared (S14)."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date

from werkzeug.security import check_password_hash, generate_password_hash

from flows.answer import PinCheck
from flows.parts.clinic import Clinic, Phone
from flows.replies import NotUnderstood
from flows.replies.dates import printed_date
from flows.replies.typed import Typed, fold

_NUMBER_AND_PIN = re.compile(r"(\d{1,2})[^\w]+(\d{4,6})")
_MAYBE_A_PIN = re.compile(r"(?<!\d)\d{4,8}(?!\d)")
"""Also where the short number has grown onto it, as in 42718."""
MASK = "****"
_YEARS_OF_A_LABEL = 10
"""How far from today a label's date may be: a PIN that is a year may lie further away."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Somebody says who they are: a short number, and a PIN to show for it."""

    number: int
    pin: str = field(repr=False)
    below: str = ""
    """What the same text says on the lines below."""

    @property
    def masked(self) -> str:
        """As it may be written down."""
        return "\n".join(filter(None, (f"{self.number} {MASK}", masked(self.below))))

    @property
    def said(self) -> str:
        """The same with all that stands below: a patient code is no PIN."""
        return f"{self.number} {MASK}\n{self.below}"


def claim_of(typed: Typed) -> Claim | None:
    """Number and PIN, where a text, or the first of its lines, is nothing else, like 2 4711."""
    found = _NUMBER_AND_PIN.fullmatch(" ".join(typed.words))
    if found:
        return Claim(int(found[1]), found[2])
    first = _NUMBER_AND_PIN.fullmatch(" ".join(typed.lines[0])) if typed.lines else None
    if first is None:
        return None
    _, _, below = typed.text.strip().partition("\n")
    return Claim(int(first[1]), first[2], below.strip())


def may_be_an_answer(claim: Claim, typed: Typed, clinic: Clinic, phone: Phone, day: date) -> bool:
    """Whether it may be meant otherwise: nobody's number here, or a date off a label, 03/2027."""
    people = (clinic.people.get(each) for each in phone.people)
    is_nobody_s = claim.number not in {each.number for each in people if each}
    read = printed_date(replace(typed, words=typed.lines[0]), today=day)
    days = read.dates if isinstance(read, NotUnderstood) else (read,)
    return is_nobody_s or any(abs(each.year - day.year) <= _YEARS_OF_A_LABEL for each in days)


def masked(body: str) -> str:
    """A text without anything that could be a PIN."""
    kept = _MAYBE_A_PIN.sub(MASK, body)
    # Signs that cannot be seen may part digits which the readers of answers put together again.
    hidden = _MAYBE_A_PIN.search(fold(kept))
    return _MAYBE_A_PIN.sub(MASK, fold(body)) if hidden else kept


def hash_pin(pin: str) -> str:
    """Slow on purpose (scrypt, some 50 ms): never inside a transaction."""
    return generate_password_hash(pin)


def check(
    claim: Claim, clinic: Clinic, phone: Phone, hash_of: Callable[[str], str | None]
) -> PinCheck:
    """Whose number and PIN these are, among those who share the phone. Slow, as `hash_pin`."""
    for person_id in phone.people:
        person = clinic.people.get(person_id)
        if person is None or person.number != claim.number:
            continue
        kept = hash_of(person_id)
        if kept is not None and check_password_hash(kept, claim.pin):
            return PinCheck(person_id)
    return PinCheck(None)
