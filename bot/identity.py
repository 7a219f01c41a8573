"""PINs: read from a text, masked, hashed, compared (S14)."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from werkzeug.security import check_password_hash, generate_password_hash

from flows.answer import PinCheck
from flows.parts.clinic import Clinic, Phone
from flows.replies import NotUnderstood
from flows.replies.dates import printed_date
from flows.replies.number_and_pin import MASK, masked, number_and_pin
from flows.replies.typed import Typed, tidy

_NUMBER_AND_PIN = re.compile(r"(\d{1,2})[^\w]+(\d{4,6})")
_YEARS_OF_A_LABEL = 10
"""How far from today a label's date may be: a PIN that is a year may lie further away."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Somebody says who they are: a short number, and a PIN to show for it."""

    number: int
    pin: str = field(repr=False)
    below: str = ""
    """What the same text says behind them, and on the lines below."""
    as_typed: str = field(default="", repr=False, compare=False)

    @property
    def masked(self) -> str:
        """As it may be written down."""
        return "\n".join(filter(None, (f"{self.number} {MASK}", masked(self.below))))

    @property
    def said(self) -> str:
        """The same with all that stands below: a patient code is no PIN."""
        return f"{self.number} {MASK}\n{self.below}"


def claim_of(typed: Typed) -> Claim | None:
    """Number and PIN, where a text is nothing else, like 2 4711, or begins with both."""
    found = _NUMBER_AND_PIN.fullmatch(" ".join(typed.words))
    if found:
        return Claim(int(found[1]), found[2], as_typed=" ".join(typed.words))
    first, _, below = typed.text.strip().partition("\n")
    said = number_and_pin(first)
    if said is None:
        return None
    both, rest = said
    behind = "\n".join(filter(None, (rest, below.strip())))
    return Claim(int(both[1]), both[2], behind, both[0])


def may_be_an_answer(claim: Claim, clinic: Clinic, phone: Phone, day: date) -> bool:
    """Whether it may be meant otherwise: nobody's number here, or a date off a label, 03/2027."""
    people = (clinic.people.get(each) for each in phone.people)
    is_nobody_s = claim.number not in {each.number for each in people if each}
    read = printed_date(tidy(claim.as_typed), today=day)
    days = read.dates if isinstance(read, NotUnderstood) else (read,)
    return is_nobody_s or any(abs(each.year - day.year) <= _YEARS_OF_A_LABEL for each in days)


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
