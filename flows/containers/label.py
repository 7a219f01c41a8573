"""A new container's label: its tag, and the words to write on it."""

from itertools import chain, count
from zoneinfo import ZoneInfo

from flows.calculations.check_code import labelled_tag
from flows.containers.limits import limit
from flows.parts.clinic import Fitness
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.container_life import Decided
from flows.rules.good_to import good_to_on_label

HIGHEST = 99
"""Tags of two figures are short enough for every text and every label."""


def next_tag(situation: Situation, letter: str) -> str:
    """The first free tag of that letter; a tag is never given twice while anything bears it.

    What has been thrown away bears its tag on until the two-digit ones are used up.
    """
    taken = {*situation.clinic.containers, *situation.clinic.strips}
    free = (tag for n in range(1, HIGHEST + 1) if (tag := f"{letter}{n}") not in taken)
    gone = (
        each.tag
        for each in sorted(situation.clinic.containers.values(), key=lambda each: each.since)
        if each.tag.startswith(letter) and each.fitness is Fitness.DISCARDED
    )
    more = (tag for n in count(HIGHEST + 1) if (tag := f"{letter}{n}") not in taken)
    return next(chain(free, gone, more))


def label(tag: str, contents: str | Text, life: Decided, zone: ZoneInfo) -> Text:
    """The words to write on it, with the limit that decided the date (S5)."""
    return say(
        "containers.label",
        "Write on it: {label} {contents}, good to {good_to} ({limit}). Name and today's date too.",
        label=labelled_tag(tag),
        contents=contents,
        good_to=good_to_on_label(life.moment, zone),
        limit=limit(life.because),
    )
