"""IT GOT IN MY EYE, SPILT, MY HAND BURNS: words of whoever may be hurt (S20)."""

import re
from itertools import pairwise

from flows.replies.contact import is_of_a_liquid, words_of_contact
from flows.replies.denied import DENIES
from flows.replies.typed import POLITE, Typed

_HURT = re.compile(
    "(?:SPILL|SPILT|SPLASH|BURN(?!ERS?$)|SWALLOW|POISON|INHAL|ITCH|BLISTER).*|EYES?|SKIN|FUMES?|GAS"
    "|DRANK|HURTS?|RASH|BREATHLESS|NEEDLESTICK"
)
_SPILT = re.compile("(?:SPILL|SPILT|SPLASH).*")
_UNWELL = re.compile("(?:COUGH|CHOK).*|DIZZY|FAINT(?:ED|ING)|HEADACHE|NAUSEA")
_GIVES_OFF_GAS = {"BLEACH", "ACID"}
"""Together. Source: the makers' usual warning on bleach (from memory)."""

_MAY_BE_AT_RISK = frozenset({"EYE", "EYES", "SKIN", "FUME", "FUMES", "GAS"})
_IN_THE_AIR = frozenset({"FUME", "FUMES", "GAS"})
_PROTECTS = frozenset(
    {"SHIELD", "SHIELDS", "COVER", "COVERED", "COVERS", "PROTECTION", "PROTECTED", "PROTECTOR"}
    | {"GOGGLES", "GLASSES", "GUARD", "VISOR", "MASK", "GLOVES", "WEAR"}
)
_ALL_WELL = frozenset({"OK", "FINE", "PROTECTED", "COVERED"})
_CALM = (
    POLITE
    | _MAY_BE_AT_RISK
    | _PROTECTS
    | _ALL_WELL
    | {
        *("ON", "FOR", "OVER", "MY", "THE", "A", "AN", "AND", "IS", "ARE", "ALL", "READY", "YES"),
        *("I", "WE", "HAVE", "PUT", "WEARING", "GOWN", "APRON", "ALSO"),
        *("WINDOW", "WINDOWS", "OPEN"),
    }
)
"""Nothing but such words is about protection, or says that all is well: nobody is hurt."""

_WHOEVER_ASKS = frozenset({"DO", "NEED", "MUST", "SHOULD", "AGAINST"})


def words_of_hurt(typed: Typed) -> tuple[str, ...]:
    """Those of its words, none where there is no such; a question may well be of one."""
    if _is_calm(typed):
        return ()
    pairs = pairwise(("", *typed.words))
    told = tuple(
        word
        for before, word in pairs
        if _is_of_hurt(word, typed) and before not in DENIES and not _looks(before, word, typed)
    )
    told += words_of_contact(typed.words)
    return told or (typed.words if set(typed.words) >= _GIVES_OFF_GAS else ())


def hurts(typed: Typed, command: str) -> bool:
    """The same; beside a *command* only of what is no reason for an examination.

    USED V1 0412, OPA ON MY HAND; but a patient's eye or arm, or a headache, may be one.
    """
    told = words_of_hurt(typed)
    is_spilt = any(_SPILT.fullmatch(word) for word in told) or is_of_a_liquid(told)
    return bool(told) and (not command or is_spilt or "MY" in typed.words)


def _is_of_hurt(word: str, typed: Typed) -> bool:
    """A patient who coughs was hurt by nothing here."""
    is_unwell = _UNWELL.fullmatch(word) is not None and "PATIENT" not in typed.words
    return _HURT.fullmatch(word) is not None or is_unwell


def _looks(before: str, word: str, typed: Typed) -> bool:
    """CHECKED BY EYE: with it, and not of it."""
    return word == "EYE" and (before == "BY" or ("EYE", "CHECK") in pairwise(typed.words))


def _is_calm(typed: Typed) -> bool:
    """EYE SHIELD ON, SKIN OK, DO I NEED EYE COVER?, GAS?: one more word, and it is heard."""
    words = set(typed.words)
    if typed.asks:
        is_of_protection = not _PROTECTS.isdisjoint(words)
        return words in ({"GAS"}, {"FUMES"}) or (
            is_of_protection and words <= _CALM | _WHOEVER_ASKS
        )
    if not words <= _CALM or ("OPEN" in words and words.isdisjoint({"WINDOW", "WINDOWS"})):
        return False
    is_protected = not _PROTECTS.isdisjoint(words) and words.isdisjoint(_IN_THE_AIR)
    return is_protected or _is_said_to_be_well(typed.words)


def _is_said_to_be_well(words: tuple[str, ...]) -> bool:
    """OK right behind what it is said of: OK, MY EYE is a cry all the same."""
    said = [word for word in words if word not in {"IS", "ARE", "ALL"}]
    at_risk = [n for n, word in enumerate(said) if word in _MAY_BE_AT_RISK]
    behind = [*said[1:], ""]
    return bool(at_risk) and all(behind[n] in _ALL_WELL for n in at_risk)
