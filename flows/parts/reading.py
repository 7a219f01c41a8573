"""What was typed, as the steps read it: one word out of a few, a device, a container."""

from collections.abc import Callable

from flows.parts.clinic import Container, Device, Kind, StripBottle
from flows.parts.situation import Situation
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold, fold_ours


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


def says_first(situation: Situation, slug: str) -> bool:
    """Whether it begins with that word; a bell says none."""
    said = situation.typed
    return said is not None and said.words[:1] == (fold(situation.vocabulary.word(slug)),)


def device_named(situation: Situation) -> Device | None:
    """The device that stands behind a command: USED V1 0412."""
    labels = {fold_ours(label): each for label, each in situation.clinic.devices.items()}
    return next((labels[word] for word in typed(situation).words[1:] if word in labels), None)


def tags_named(
    situation: Situation, *, behind: int = 1
) -> tuple[Container | StripBottle | str, ...]:
    """What stands *behind* so many words by its tag, each once, in the order typed.

    A tag that nothing here bears stays as it was typed, its check letter apart; a word that is no
    tag is let be.
    """
    clinic = situation.clinic
    here: list[Container | StripBottle] = [*clinic.containers.values(), *clinic.strips.values()]
    known = {fold_ours(each.tag): each for each in here}
    labels = {fold_ours(label) for label in clinic.devices}
    named: dict[str, Container | StripBottle | str] = {}
    for word in typed(situation).words[behind:]:
        tag = TAG.fullmatch(word)
        if word in known:
            named[word] = known[word]
        elif tag and word not in labels:
            named[tag[1]] = tag[1]
    return tuple(named.values())


def container_named(situation: Situation) -> Container | None:
    """The jug, bottle or bath that stands first behind a word: OPEN J1, DIP T1."""
    named = tags_named(situation)
    return next((each for each in named if isinstance(each, Container)), None)


def solution_named(situation: Situation) -> Container | None:
    """The same, where a strip is to be dipped in it: none tests what was mixed here (S4)."""
    named = container_named(situation)
    return None if named and named.kind is Kind.MIXED else named


def strips_named(situation: Situation) -> StripBottle | None:
    """The bottle of strips that stands first behind a word: TEST S1."""
    named = tags_named(situation)
    return next((each for each in named if isinstance(each, StripBottle)), None)
