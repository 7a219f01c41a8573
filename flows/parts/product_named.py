"""Which disinfectant a text names: as it is called, or begun."""

from collections.abc import Sequence

from flows.protocols.model import CycleProtocol
from flows.replies.typed import fold

SHORTEST_NAME = 2
"""HP: so many letters name a product, from its first one on."""


def products_named(words: Sequence[str], known: Sequence[CycleProtocol]) -> list[CycleProtocol]:
    """Those that most of the words fit: HP 7.5 % is not the HP of another strength."""
    scored = [
        (sum(_is_said(each, words) for each in name_of(protocol)), protocol)
        for protocol in known
        if _is_called(protocol, words)
    ]
    most = max((fit for fit, _ in scored), default=0)
    return [protocol for fit, protocol in scored if fit == most]


def words_naming(protocol: CycleProtocol, words: Sequence[str]) -> list[str]:
    """Which of the words are its name, where it is named at all; a whole figure counts things."""
    if not _is_called(protocol, words):
        return []
    parts = name_of(protocol)
    spoken = [each for each in words if not each.isdecimal()]
    return [each for each in spoken if any(_names(each, part) for part in ("", *parts))]


def name_of(protocol: CycleProtocol) -> list[str]:
    """The words that its disinfectant is called by."""
    return [each for each in fold(protocol.chemistry.title).replace("%", " ").split() if each]


def name_to_say(protocol: CycleProtocol) -> str:
    """The one word of them that is enough: OPA."""
    return next(each for each in name_of(protocol) if each.isalpha())


def _is_called(protocol: CycleProtocol, words: Sequence[str]) -> bool:
    return any(each.isalpha() and _is_said(each, words) for each in name_of(protocol))


def _is_said(part: str, words: Sequence[str]) -> bool:
    return any(_names(each, part) for each in words)


def _names(word: str, part: str) -> bool:
    """GLUT and GLUTARALDEHYDE are glutaral; a figure is itself alone."""
    bare = word.strip("%")
    if not part.isalpha():
        return part == bare
    return len(bare) >= SHORTEST_NAME and (part.startswith(bare) or bare.startswith(part))
