"""A fact or a question about a device, without a device that is known here (S7)."""

from flows.parts.decision import Decision, lacking
from flows.parts.kept_apart import keep_said
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import say


def which_device(situation: Situation, word: str) -> Decision:
    """A command without a device it knows: which are there, and how it is typed."""
    labels = ", ".join(list(situation.clinic.devices)[:2])
    first = next(iter(situation.clinic.devices), "V1")
    text = say(
        "use.which",
        "Which device? Here: {devices}. Like {example}.",
        devices=labels,
        example=f"{situation.vocabulary.word(word)} {first}",
    )
    return lacking(text)


def of_unknown_device(situation: Situation, word: str, moment: Moment) -> Decision:
    """S7: the fact is kept and somebody told, though nobody can say yet which device it is."""
    free, kept = keep_said(situation, "unknown_device", typed(situation).text, moment, codes=True)
    asked = which_device(situation, word)
    return Decision(events=(free,), says=asked.says, kept=(kept,))
