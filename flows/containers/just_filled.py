"""What is said just after FILLED or POURED: TOPPED, of bottle or tub; that it was wet (S6)."""

from datetime import timedelta

from flows.parts.clinic import AT_HAND, Container, Kind, StripBottle
from flows.parts.events import (
    EvidenceStated,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripDipped,
    StripsChecked,
)
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies.denied import NOT_OR_NO
from flows.replies.tags import tags_in
from flows.replies.typed import POLITE, fold

_VESSELS = frozenset({"TUB", "BATH", "BOTTLE"})
_WET, _DRY = frozenset({"WET", "DIRTY"}), frozenset({"DRY", "WASHED", "EMPTY", "CLEAN"})
_OF_A_VESSEL = (
    POLITE
    | _VESSELS
    | _WET
    | _DRY
    | NOT_OR_NO
    | {
        *(
            "SORRY",
            "OOPS",
            "ACTUALLY",
            "BUT",
            "I",
            "THE",
            "IT",
            "ITS",
            "IT'S",
            "IS",
            "WAS",
            "STILL",
        ),
    }
)

LATELY = timedelta(minutes=2)
"""So long TOPPED may take back FILLED. Source: common practice, none published."""


def was_just_filled(situation: Situation, source: Container, moment: Moment) -> bool:
    """Whether this phone has told of just that bottle."""
    filled = situation.told_here((Poured,), moment.now - LATELY)
    return any(isinstance(each, Poured) and each.tag == source.tag for each in filled)


_OF_A_THING = (Poured, JugOpened, StripBottleOpened, StripsChecked)


def told_of_last(situation: Situation, moment: Moment) -> Container | StripBottle | None:
    """What this phone has just opened, filled, poured or tested, and no strip dipped since.

    What is mixed for one soak is vouched for by FRESH.
    """
    kinds = (*_OF_A_THING, EvidenceStated, StripDipped)
    told = situation.told_here(kinds, moment.now - LATELY)
    last = told[-1] if told else None
    if not isinstance(last, _OF_A_THING) or (isinstance(last, Poured) and last.topped_up):
        return None
    clinic = situation.clinic
    thing = clinic.containers.get(last.tag) or clinic.strips.get(last.tag)
    return thing if thing and thing.fitness in AT_HAND else None


def poured_last(situation: Situation, moment: Moment) -> Container | None:
    """The same, if it is what was filled or poured."""
    last = told_of_last(situation, moment)
    return last if isinstance(last, Container) and last.kind is not Kind.JUG else None


def vessel_was_wet(situation: Situation, poured: Container) -> bool:
    """S6: THE TUB WAS NOT DRY, T1 WAS WET; with any other word it may be of something else."""
    said, tags = typed(situation), tags_in(typed(situation).words)
    words = {*said.words} - {*tags}
    if said.asks or not {*tags.values()} <= {poured.tag} or not words <= _OF_A_VESSEL:
        return False
    was_wet = words & _WET and not words & NOT_OR_NO
    was_not_dry = words & NOT_OR_NO and words & _DRY
    return bool((tags or words & _VESSELS) and (was_wet or was_not_dry))


def is_unsure(situation: Situation) -> bool:
    """UNSURE, NOT SURE, where no other question is open than for its strip."""
    words = {*typed(situation).words} - POLITE
    unsure = fold(situation.vocabulary.word("unsure"))
    is_all = words in ({unsure}, {"NOT", "SURE"}) and not typed(situation).asks
    return is_all and {each.top.step for each in situation.threads_here} <= {"dip"}


def which_of_both(source: str) -> Text:
    """Words near each other must differ: the one names the bottle, the other the tub."""
    return say(
        "containers.fill.which_of_both",
        "Was anything still in the bottle, {source}, or in the tub? For the bottle reply {topped} "
        "{source}, for the tub {topped} {tub}. Nothing is noted yet.",
        source=source,
    )
