"""OPA ON MY HAND, HAND TURNED BLACK, T1 TIPPED OVER: a spill without its word (S20)."""

from collections.abc import Sequence
from itertools import pairwise

from flows.replies.denied import DENIES
from flows.replies.tags import VESSEL

_BODY = frozenset(
    {"HAND", "HANDS", "FINGER", "FINGERS", "WRIST", "WRISTS", "ARM", "ARMS"}
    | {"FOOT", "FEET", "LEG", "LEGS", "SLEEVE", "SLEEVES", "CLOTHES", "MOUTH", "LIPS"}
)
_OF_A_PROBE_TOO = frozenset({"FACE", "NECK", "NOSE"})
_MINE = frozenset({"MY", "HER", "HIS"})
_INSIDE = frozenset({"FACE", "MOUTH", "NOSE"})
"""PROBE IN MY HAND is held."""

_WHOSE = frozenset({"MY", "HER", "HIS", "THE", "A", "BOTH", "LEFT", "RIGHT", "ONE"})
_ONTO = frozenset({"ON", "ONTO", "OVER", "DOWN"})
_INTO = frozenset({"IN", "INTO"})
_WORN = frozenset({"SLEEVE", "SLEEVES", "CLOTHES"})
_LIQUID = frozenset(
    {"OPA", "SOLUTION", "LIQUID", "BLEACH", "CHLORINE", "CHEMICAL", "CHEMICALS", "DISINFECTANT"}
    | {"PEROXIDE", "ACTIVATOR", "PRODUCT", "GLUTARALDEHYDE"}
)
_HARMLESS = frozenset(
    {"GLOVE", "GLOVES", "GOWN", "APRON", "MASK", "VISOR", "SHIELD", "SLEEVES", "COVER", "TOWEL"}
    | {"SOAP", "GEL", "ALCOHOL", "CREAM", "PLASTER", "BANDAGE", "WATER", "ON", "THEM", "PAIR"}
)
"""What may be on a hand or an arm; GOWN ON OVER MY ARMS."""

_BETWEEN = frozenset({"IS", "ARE", "BACK", "NOW", "WORN", "AGAIN", "ALL", "RIGHT", "STILL"})
_IN_STOCK = frozenset({"HAVE", "MORE", "STILL", "LEFT", "GOT"})
_SORE = frozenset(
    {"BLACK", "GREY", "GRAY", "RED", "SWOLLEN", "NUMB", "CUT", "BLEEDS", "BLEEDING", "PAIN"}
    | {"PAINFUL", "SORE"}
)
_NOT_OF_THE_BODY = frozenset({"GLOVE", "GLOVES", "STRIP", "STRIPS", "TOWEL", "NOT"}) | DENIES
_VESSELS = frozenset({"TUB", "BATH", "JUG", "BOTTLE", "BOWL", "BUCKET"})
_OVER = frozenset({("TIPPED", "OVER"), ("KNOCKED", "OVER"), ("FELL", "OVER")})


def words_of_contact(words: Sequence[str]) -> tuple[str, ...]:
    """Those words by which a solution is on somebody or on the floor; none where it is not said.

    What is worn, a towel or soap on a hand is none; nor is OPA ON HAND, which is in stock.
    """
    return _on_somebody(words) or _sore(words) or _on_the_floor(words) or _tipped(words)


def is_of_a_liquid(told: Sequence[str]) -> bool:
    """Whether such words are of a solution, on whomever or on the floor."""
    return not (_LIQUID | {"FLOOR", "TIPPED", "KNOCKED"}).isdisjoint(told)


def _on_somebody(words: Sequence[str]) -> tuple[str, ...]:
    for at, word in enumerate(words):
        part = next((n for n in range(at + 1, len(words)) if words[n] not in _WHOSE), at)
        is_onto = word in _ONTO or (word in _INTO and words[part] in _INSIDE)
        if not is_onto or words[part] not in _BODY | _OF_A_PROBE_TOO:
            continue
        before = [each for each in words[:at] if each not in _BETWEEN]
        what = before[-1] if before else ""
        is_denied = not DENIES.isdisjoint(before[-2:])
        is_wet = what in _LIQUID and part == at + 1
        is_hers = words[part] in _BODY or is_wet or not _MINE.isdisjoint(words[at:part])
        is_clear = is_hers and what not in _HARMLESS and not is_denied
        if is_clear and not _in_stock(words, at, what):
            return (*({what} & _LIQUID), *words[at : part + 1])
    return ()


def _in_stock(words: Sequence[str], at: int, what: str) -> bool:
    """ON HAND, where no liquid stands before it alone."""
    is_bare = tuple(words[at : at + 2]) == ("ON", "HAND")
    return is_bare and (what not in _LIQUID or not _IN_STOCK.isdisjoint(words))


def _sore(words: Sequence[str]) -> tuple[str, ...]:
    """CUT MY FINGER, HAND TURNED BLACK, SLEEVE WET WITH OPA; not BLACK GLOVES ON MY HANDS."""
    said = set(words)
    is_soaked = not said.isdisjoint(_WORN) and not said.isdisjoint(_LIQUID)
    is_said = is_soaked or (not said.isdisjoint(_BODY - _WORN) and not said.isdisjoint(_SORE))
    if not is_said or not said.isdisjoint(_NOT_OF_THE_BODY):
        return ()
    return tuple(word for word in words if word in _BODY | _SORE | _LIQUID)


def _on_the_floor(words: Sequence[str]) -> tuple[str, ...]:
    said = set(words)
    is_liquid = not said.isdisjoint(_LIQUID | {"LEAKS", "LEAKED", "LEAKING"})
    if "FLOOR" not in said or not is_liquid or not said.isdisjoint(DENIES):
        return ()
    return ("ON", "THE", "FLOOR")


def _tipped(words: Sequence[str]) -> tuple[str, ...]:
    """T1 FELL OVER, KNOCKED T1 OVER; a probe that did so spilt nothing."""
    others = [word for word in words if word not in _VESSELS and not VESSEL.fullmatch(word)]
    bare = [word for word in others if word != "THE"]
    over = next((pair for pair in pairwise(bare) if pair in _OVER), ())
    is_vessel = len(others) < len(words)
    return over if over[:1] != ("FELL",) or is_vessel else ()
