"""What was typed, as the steps read it: one word out of a few, a device, a container."""

from collections.abc import Callable

from flows.parts.clinic import Container, Device, Kind, StripBottle
from flows.parts.situation import Situation
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.typed import Typed, fold_ours


def typed(situation: Situation) -> Typed:
    """What was typed. Raises LookupError where nothing was: only answers and commands are read."""
    if situation.typed is None:
        raise LookupError("A step reads an answer, and there is none.")
    return situation.typed


def word_of(situation: Situation, slugs: tuple[str, ...]) -> str | NotUnderstood:
    """Which of these words was typed, by its slug."""
    options = {situation.vocabulary.word(slug): slug for slug in slugs}
    also = [word for slug, word in situation.vocabulary.words.items() if slug not in slugs]
    return choose(typed(situation), options, also)


def one_of(*slugs: str) -> Callable[[Situation], str | NotUnderstood]:
    """Read one of these words."""
    return lambda situation: word_of(situation, slugs)


def device_named(situation: Situation) -> Device | None:
    """The device that stands behind a command: USED V1 0412."""
    labels = {fold_ours(label): each for label, each in situation.clinic.devices.items()}
    return next((labels[word] for word in typed(situation).words[1:] if word in labels), None)


def container_named(situation: Situation) -> Container | None:
    """The jug, bottle or bath that stands behind a word: DISCARD T1, DIP T1."""
    tags = {fold_ours(tag): each for tag, each in situation.clinic.containers.items()}
    return next((tags[word] for word in typed(situation).words[1:] if word in tags), None)


def solution_named(situation: Situation) -> Container | None:
    """The same, where a strip is to be dipped in it: none tests what was mixed here (S4)."""
    named = container_named(situation)
    return None if named and named.kind is Kind.MIXED else named


def strips_named(situation: Situation) -> StripBottle | None:
    """The bottle of strips that stands behind a word: STATE S1, DISCARD S1."""
    tags = {fold_ours(tag): each for tag, each in situation.clinic.strips.items()}
    return next((tags[word] for word in typed(situation).words[1:] if word in tags), None)
