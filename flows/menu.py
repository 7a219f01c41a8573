"""MENU, ABOUT, STATE, LEFT's words, and what is said when nothing is understood."""

from flows.parts.clinic import Container, Fitness, Kind
from flows.parts.decision import BACK, Decision, Move, Saying, go
from flows.parts.events import ContainerDiscarded
from flows.parts.moment import Moment
from flows.parts.reading import container_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.typed import fold
from flows.rules.release import is_ready

NEEDS_ITS_BATH = frozenset({"container", "immerse", "warm", "back_in"})
"""Steps of a cycle at which the device is about to go into the bath that was chosen."""


def menu(_: Situation, __: Moment) -> Decision:
    """What can be texted, in one text."""
    text = say(
        "menu",
        "{clean} V1 / {used} V1 0412 / {check} V1 / {state} / {left} / {take} V1 / {fault} V1 / "
        "{spill} / {open} / {pour} / {mix} 2 L / {test} T1 / {discard} T1 / {about}",
    )
    return Decision(says=(Saying(text),))


def about(_: Situation, __: Moment) -> Decision:
    """S20: what overrules this bot."""
    text = say(
        "about",
        "Soakbell keeps times and the record. It cannot see the probe. The maker's instructions, "
        "local rules and trained judgement overrule it.",
    )
    return Decision(says=(Saying(text),))


def not_understood(_: Situation) -> Decision:
    """No question is open and no command was typed: never a dead end."""
    text = say(
        "menu.not_understood",
        "I did not understand that. To clean a probe: {clean} V1. After a patient: {used} V1 0412."
        " All words: {menu}.",
    )
    return Decision(says=(Saying(text),))


# -- STATE --------------------------------------------------------------------------------------


def state(situation: Situation, moment: Moment) -> Decision:
    """How everything stands, or one thing: STATE, STATE V1, STATE T1."""
    container = container_named(situation)
    if container:
        return Decision(says=(Saying(container_text(container, moment)),))
    words = typed(situation).words[1:]
    devices = [
        device
        for device in situation.clinic.devices.values()
        if not words or fold(device.label) in words
    ]
    ready = [each.label for each in devices if is_ready(each, moment.now)]
    baths = [
        each.tag
        for each in situation.clinic.containers.values()
        if each.kind is not Kind.JUG
        and each.fitness is Fitness.GOOD
        and moment.now < each.discard_by
    ]
    text = say(
        "state",
        "Ready: {devices}. Of {count} devices; all others NOT READY. Solutions in date: {tags}. "
        "More: {state} T1, {check} V1.",
        devices=_listed(ready),
        count=len(situation.clinic.devices),
        tags=_listed(baths),
    )
    return Decision(says=(Saying(text),))


def _listed(names: list[str]) -> Text:
    if not names:
        return say("state.none", "none")
    shown = names[:3]
    if len(names) > len(shown):
        return say(
            "state.more",
            "{listed} +{count}",
            listed=", ".join(shown),
            count=len(names) - len(shown),
        )
    return say("state.listed", "{listed}", listed=", ".join(shown))


def container_text(container: Container, moment: Moment) -> Text:
    """How a jug, bottle or bath stands, and until when."""
    if container.fitness is Fitness.GOOD and moment.now < container.discard_by:
        return say(
            "state.container",
            "{tag}: in date until {until}. A strip before each use all the same.",
            tag=container.tag,
            until=container.discard_by,
        )
    return say(
        "state.container.not",
        "{tag}: NOT FOR USE. Throw it away by the maker's sheet, then text {discard} {tag}.",
        tag=container.tag,
    )


def discard(situation: Situation, _: Moment) -> Decision:
    """DISCARD T1: what somebody says was thrown away; nothing is discarded that nobody said."""
    container = container_named(situation)
    if container is None:
        text = say("discard.which", "Which one was thrown away? Its tag, like {discard} T1.")
        return Decision(says=(Saying(text),))
    tag = container.tag
    if container.in_use_by:
        device = situation.clinic.cycles[container.in_use_by].device
        text = say(
            "discard.in_use",
            "{device} is still in {tag}. Take it out first: text {out}.",
            device=device,
            tag=tag,
        )
        return Decision(says=(Saying(text),))
    text = say("discard.done", "{tag} is noted as thrown away.", tag=tag)
    return Decision(
        events=(ContainerDiscarded(tag),), says=(Saying(text),), moves=_without_it(situation, tag)
    )


def _without_it(situation: Situation, tag: str) -> tuple[Move, ...]:
    """Whoever was about to test or to use it is led to another at once."""
    threads = situation.clinic.threads.values()
    testing = [
        Move(thread.id, BACK) for thread in threads if thread.top.memo.get("container") == tag
    ]
    cycles = situation.clinic.cycles
    choosing = [
        Move(thread.id, go("bath"))
        for thread in threads
        if thread.top.flow == "cycle"
        and thread.top.step in NEEDS_ITS_BATH
        and cycles[thread.cycle or ""].bath == tag
    ]
    return (*testing, *choosing)
