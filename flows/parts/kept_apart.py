"""Free text is kept apart, where it can go: the record holds its salted hash (S15)."""

from hashlib import sha256

from flows.parts.decision import KeptText
from flows.parts.events import FreeText
from flows.parts.moment import Moment


def keep(about: str, words: str, moment: Moment) -> tuple[FreeText, KeptText]:
    """S15: free text enters the record as a salted hash; the words are kept where they can go."""
    salt = moment.ident(f"salt/{about}")
    digest = sha256(f"{salt}/{words}".encode()).hexdigest()
    return FreeText(about, digest), KeptText(digest, salt, words)
