"""Which disinfectant a command is about, where devices of one site soak in several."""

from collections.abc import Iterable

from flows.parts.listed import listed
from flows.parts.product_named import name_to_say, products_named
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation, protocol_of
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol


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
