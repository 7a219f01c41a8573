"""Which disinfectant a command is about, where devices of one site soak in several."""

from collections.abc import Iterable, Sequence

from flows.parts.listed import listed
from flows.parts.product_named import name_to_say, products_named
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation, protocol_of
from flows.parts.text import Text, say
from flows.protocols import shipped
from flows.protocols.model import Chemistry, CycleProtocol
from flows.replies.typed import fold


def meant(situation: Situation, *, example: str, in_hand: bool = True) -> CycleProtocol | Text:
    """What the text names, or a cleaning on this phone takes, or all there is; else a question.

    A device in the text stands for what it soaks in.

    *example* is the command to say again, with {} where the name goes. *in_hand* is whether a
    cleaning may answer for it.
    """
    mine, here = _in_hand(situation), _each(map(situation.today, _models(situation)))
    known = soaked_in(situation)
    device, words = device_named(situation), typed(situation).words[1:]
    named = [situation.today(device.model)] if device else products_named(words, known)
    if len(named) == 1:
        return named[0]
    for sure in (named or (mine if in_hand else []), here):
        if len(sure) == 1:
            return sure[0]
    return _which(known, example)


_OF_CHLORINE = frozenset({"BLEACH", "POWDER", "JAVEL", "HYPOCHLORITE"})
_OF_DETERGENT = frozenset({"DETERGENT", "SOAP", "ENZYMATIC", "CLEANER"})
_SHORTEST_BEGUN = 3


def of_no_use(situation: Situation) -> Text | None:
    """S4, S5: OPEN GLUTARAL where nothing soaks in it: nothing else is opened in its place."""
    known, words = soaked_in(situation), typed(situation).words[1:]
    if products_named(words, known):
        return None
    if not _OF_DETERGENT.isdisjoint(words):
        return say(
            "containers.which_product.detergent",
            "Detergent is neither opened nor poured by text. {mix} 2 L says how to mix it, and "
            "asks for its lot.",
        )
    here = {each.chemistry.name for each in known}
    others = [each for each in shipped().chemistries.values() if each.name not in here]
    if any(each.chemistry.is_single_use for each in known):
        others = [each for each in others if not each.is_single_use]
    named = next((each for each in others if _is_named(each, words)), None)
    if named is None:
        return None
    return say(
        "containers.which_product.not_here",
        "No probe here is soaked in {product}: nothing is noted. Here they soak in {listed}. Is "
        "that wrong? Your contact can put it right.",
        product=named.title.split()[0],
        listed=listed([each.chemistry.title for each in known]),
    )


def _is_named(chemistry: Chemistry, words: Sequence[str]) -> bool:
    """Whole or begun; a lot begins with letters too, and has figures behind them."""
    if chemistry.is_single_use and not _OF_CHLORINE.isdisjoint(words):
        return True
    parts = [each for each in fold(chemistry.title).split() if each.isalpha()]
    long = [each for each in words if len(each) >= _SHORTEST_BEGUN and each.isalpha()]
    begun = any(part.startswith(word) or word.startswith(part) for part in parts for word in long)
    return begun or not {*parts}.isdisjoint(words)


def soaked_in(situation: Situation) -> list[CycleProtocol]:
    """One for each disinfectant that devices here, or cleanings on this phone, soak in."""
    return _each([*map(situation.today, _models(situation)), *_in_hand(situation)])


def told_apart(situation: Situation, protocol: CycleProtocol) -> dict[str, str]:
    """What a question remembers, where devices here soak in different products."""
    return {"product": protocol.chemistry.name} if len(soaked_in(situation)) > 1 else {}


def _models(situation: Situation) -> Iterable[str]:
    return dict.fromkeys(each.model for each in situation.clinic.devices.values())


def _in_hand(situation: Situation) -> list[CycleProtocol]:
    return _each(map(protocol_of, situation.cycles_on_phone))


def _each(protocols: Iterable[CycleProtocol]) -> list[CycleProtocol]:
    """One for each disinfectant, the first."""
    found: dict[str, CycleProtocol] = {}
    for each in protocols:
        found.setdefault(each.chemistry.name, each)
    return [*found.values()]


def named_alone(situation: Situation) -> Text | None:
    """GLUTARAL by itself, as somebody answers who was asked of which."""
    named = products_named(typed(situation).words, soaked_in(situation))
    if len(named) != 1 or len(soaked_in(situation)) == 1:
        return None
    return say(
        "containers.which_product.alone",
        "What about {product}? Please say it in one text, like {open} {word}, {pour} {word}, "
        "{open} S {word} or {mix} {waste} {word} 2 L.",
        product=named[0].chemistry.title,
        word=name_to_say(named[0])[:9],
    )


def _which(known: list[CycleProtocol], example: str) -> Text:
    return say(
        "containers.which_product",
        "Of which? Probes here soak in {listed}. Please say its name too, like {example}.",
        listed=listed([each.chemistry.title for each in known]),
        example=example.format(name_to_say(known[-1])),
    )
