"""A new container's label: its tag, and the words to write on it."""

from itertools import chain, count
from zoneinfo import ZoneInfo

from flows.calculations.check_code import labelled_tag
from flows.containers.limits import limit
from flows.parts.clinic import Fitness
from flows.parts.situation import Situation
from flows.parts.state.solutions import HIGHEST, last_given
from flows.parts.text import Text, say
from flows.rules.container_life import Decided
from flows.rules.good_to import good_to_on_label


def next_tag(situation: Situation, letter: str) -> str:
    """The next free tag of that letter: whatever bore an earlier one may still stand there.

    S4, S18: two that bear one tag cannot be told apart, and the older may be recalled. The numbers
    go round, so that a tag is given again as late as can be, and none that is known here: of those
    only what was thrown away, and only once the two-digit ones are used up.
    """
    clinic = situation.clinic
    taken = {*clinic.containers, *clinic.strips}
    last = last_given(situation.site.given, letter)
    around = chain(range(last + 1, HIGHEST + 1), range(1, HIGHEST + 1))
    free = (tag for n in around if (tag := f"{letter}{n}") not in taken)
    gone = (
        each.tag
        for each in sorted(clinic.containers.values(), key=lambda each: each.since)
        if each.tag.startswith(letter) and each.fitness is Fitness.DISCARDED
    )
    more = (tag for n in count(HIGHEST + 1) if (tag := f"{letter}{n}") not in taken)
    return next(chain(free, gone, more))


def label(tag: str, contents: str | Text, lot: str, life: Decided, zone: ZoneInfo) -> Text:
    """The words to write on it, with the limit that decided the date (S5).

    S18: with its lot as it was read, so that one that was misread is seen.
    """
    return say(
        "containers.label",
        "Write on it: {label} {contents}, lot {lot}, good to {good_to} ({limit}). Name and "
        "today's date too.",
        label=labelled_tag(tag),
        contents=contents,
        lot=lot_on_label(lot),
        good_to=good_to_on_label(life.moment, zone),
        limit=limit(life.because),
    )


def lot_on_label(lot: str) -> Text:
    """The lot as it was read; that there is none is said."""
    return say("state.lot", "{lot}", lot=lot) if lot else say("state.lot.none", "not noted")
