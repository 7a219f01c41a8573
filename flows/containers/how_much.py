"""How much a container holds, as it is said with OPEN, POUR, FILLED or POURED."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from flows.parts.clinic import Kind
from flows.parts.product_named import words_naming
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies import NotUnderstood
from flows.replies.amounts import amounts, is_volume, unread
from flows.replies.typed import tidy
from flows.rules.amount_words import volume

VOLUME = "volume_ml"
"""Where the frame keeps it until the container is on the record."""

LARGEST_JUG_ML = Decimal(25_000)
"""No jug that one lifts holds more: 27 L may be a year, and its lot. Source: common practice."""


def noted(memo: Mapping[str, str]) -> Decimal | None:
    """What the frame keeps; None where nobody has said so, or an older release has asked."""
    return Decimal(memo[VOLUME]) if memo.get(VOLUME) else None


def taken_out(words: Sequence[str]) -> tuple[Decimal | None, Sequence[str]]:
    """The one volume of a jug among the words behind OPEN, and the rest; else all of them."""
    runs = [(at, at + size) for size in (1, 2) for at in range(len(words) - size + 1)]
    found = [(run, ml) for run in runs if (ml := _of_a_jug(words[slice(*run)])) is not None]
    if len(found) != 1:
        return None, words
    (begins, ends), ml = found[0]
    return ml, [*words[:begins], *words[ends:]]


def _of_a_jug(run: Sequence[str]) -> Decimal | None:
    """5L, or 5 L; not what stands before 5L as well."""
    if not is_volume("".join(run)) or not all(each.isalpha() for each in run[1:]):
        return None
    read = amounts(tidy(" ".join(run)))
    if isinstance(read, NotUnderstood) or read.volume_ml > LARGEST_JUG_ML:
        return None
    return read.volume_ml


def said_with_pour(situation: Situation, kind: Kind, protocol: CycleProtocol) -> Decimal | Text:
    """What POUR says of the new bottle or bath, 0 for nothing; or what is asked back."""
    said = _behind(situation, protocol)
    if isinstance(said, Decimal):
        return below_the_line(kind, said, protocol) or said
    return Decimal(0) if said.hint == "empty" else _cannot_be_read()


def said_with_it(situation: Situation, protocol: CycleProtocol) -> Decimal | None:
    """What FILLED or POURED says of it, where nothing else stands beside it; else None."""
    said = _behind(situation, protocol)
    rest = typed(situation).after(1)
    others = set(unread(rest)) - {*words_naming(protocol, rest.words)}
    is_all = not (others or typed(situation).asks)
    return said if isinstance(said, Decimal) and is_all else None


def _behind(situation: Situation, protocol: CycleProtocol) -> Decimal | NotUnderstood:
    """The one volume behind the first word, the product's name apart; a strength is of another."""
    rest = typed(situation).after(1)
    said = amounts(rest.without(*words_naming(protocol, rest.words)))
    if isinstance(said, NotUnderstood):
        return said
    return NotUnderstood("ambiguous") if said.strengths else said.volume_ml


def below_the_line(kind: Kind, ml: Decimal, protocol: CycleProtocol) -> Text | None:
    """S3: what is not under to its line has not soaked: so little is no bath."""
    least = Decimal(protocol.device_model.bath_volume_ml)
    if kind is not Kind.BATH or least <= ml:
        return None
    return say(
        "containers.how_much.below",
        "{at_hand} does not fill a bath to its line: {volume} at least. Fill it to the line, "
        "please, and send that again with the right volume, or without one.",
        at_hand=volume(ml),
        volume=volume(least),
    )


def _cannot_be_read() -> Text:
    """The limits: `flows.replies.amounts.PLAUSIBLE_ML`."""
    return say(
        "containers.how_much.unread",
        "I cannot read how much is poured. One volume, please, from 50 ML to 50 L, like {pour} J1 "
        "500 ML; or no number at all.",
    )
