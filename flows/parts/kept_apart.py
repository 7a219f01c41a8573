"""Free text is kept apart, where it can go: the record holds its salted hash (S15)."""

from hashlib import sha256

from flows.parts.decision import KeptText
from flows.parts.events import FreeText
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.replies.number_and_pin import masked, masked_pair


def keep(about: str, words: str, moment: Moment) -> tuple[FreeText, KeptText]:
    """S15: free text enters the record as a salted hash; the words are kept where they can go."""
    salt = moment.ident(f"salt/{about}")
    digest = sha256(f"{salt}/{words}".encode()).hexdigest()
    return FreeText(about, digest), KeptText(digest, salt, words)


def keep_said(
    situation: Situation, about: str, words: str, moment: Moment, *, codes: bool = False
) -> tuple[FreeText, KeptText]:
    """S14: the same without a PIN, where the phone is shared: one may have been typed in it.

    *codes*: what is neither with a short number nor called a PIN may be a lot or a patient code.
    """
    mask = masked_pair if codes else masked
    return keep(about, mask(words) if situation.phone.shared else words, moment)
