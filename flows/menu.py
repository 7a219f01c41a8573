"""MENU, ABOUT, and what is said when nothing is understood."""

from flows.parts.decision import Decision, told
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import say


def menu(_: Situation, __: Moment) -> Decision:
    """What can be texted, in one text."""
    text = say(
        "menu",
        "{clean} V1 / {used} V1 0412 / {check} V1 / {state} / {left} / {take} V1 / {fault} V1 / "
        "{spill} / {open} / {pour} / {mix} 2 L / {test} T1 / {discard} T1 / {plan} 9 / {about}",
    )
    return told(text)


def about(_: Situation, __: Moment) -> Decision:
    """S20: what overrules this bot."""
    text = say(
        "about",
        "Soakbell keeps times and the record. It cannot see the probe. The maker's instructions, "
        "local rules and trained judgement overrule it.",
    )
    return told(text)


def not_understood(_: Situation) -> Decision:
    """No question is open and no command was typed: never a dead end."""
    text = say(
        "menu.not_understood",
        "I did not understand that. To clean a probe: {clean} V1. After a patient: {used} V1 0412."
        " Not good: {fault} and its name. All words: {menu}.",
    )
    return told(text)
