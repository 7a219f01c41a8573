"""What was told in a text beside what was taken of it, and by no clause of its own (S7).

One look, in one place, at every text: words that tell of damage, of a soak, of a mixture or of a
use, and no event of that kind; and words behind a command that reads none.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from flows.answer.draft import Draft
from flows.answer.facts_told import OF_A_USE, command_of
from flows.answer.unread import words_unread
from flows.calculations.check_code import code_problem
from flows.parts.clinic import Kind
from flows.parts.decision import Saying
from flows.parts.events import (
    CleaningRestarted,
    ContainerCondemned,
    ContainerHeld,
    CycleAbandoned,
    CycleVoided,
    DeviceUsed,
    Event,
    FaultReported,
    FreeText,
    PutInBath,
    Quarantined,
    ReleaseWithdrawn,
    SoakBroken,
    StepDone,
    StripRead,
    TakenOut,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.text import Text, say
from flows.replies.denied import DENIES
from flows.replies.patient_code import PatientCode, patient_code
from flows.replies.plainly import SEEN
from flows.replies.tags import TAG
from flows.replies.typed import Typed, fold, fold_ours

_OF_IT_ALL = (ReleaseWithdrawn, CycleVoided, CycleAbandoned, CleaningRestarted)
_NOTED: Mapping[str, tuple[type[Event], ...]] = {
    "damaged": (FaultReported, Quarantined, FreeText, ContainerCondemned),
    "out": (SoakBroken, TakenOut, PutInBath, StepDone, *_OF_IT_ALL),
    "topped": (ContainerCondemned, ContainerHeld),
    "used": (DeviceUsed, UseWithoutCode, UseCodeGiven, FreeText),
    "strip": (StripRead, ContainerCondemned, ContainerHeld),
}
"""By what events a thing that was told is on the record."""

_SOIL = frozenset({"DIRTY", "SOILED", "BLOOD", "STAINED", "STAIN", "STAINS"})
"""On a probe that is cleaned anyway it is no news."""
_DENIES = DENIES | {"IF"}
_READ_NO_MORE = frozenset({"clean", "check", "take", "test", "left", "state"})
"""Commands that read names and numbers behind them, and nothing else."""
_BESIDE_THEM = frozenset(
    {
        "AGAIN",
        "STRIP",
        "STRIPS",
        "BATH",
        "TUB",
        "BOTTLE",
        "TODAY",
        "ANOTHER",
        "TOO",
        "ALSO",
        "OVER",
    }
    | {"FROM", "NEW", "CYCLE", "BEFORE", "AFTER", "USE", "USED", "DIRTY", "URGENT", "ASAP", "ONCE"}
    | {"INTO", "HALF", "REST", "JUG", "SOLUTION"}
    | {"MORE", "WELL", "AS", "QUICKLY", "QUICK", "STATUS", "SHIFT", "CHANGE", "SISTER", "DR"}
)
"""What people say with them, and tells of nothing by itself."""
_OF_A_DAY = frozenset(
    {"YESTERDAY", "AGO", "DAY", "DAYS", "LAST", "WEEK", "WEEKS", "EVENING", "AFTERNOON", "EARLIER"}
    | {"MONDAY", "TUESDAY", "WEDNESDAY", "THURSDAY", "FRIDAY", "SATURDAY", "SUNDAY"}
    | {"MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN", "SINCE", "THEN"}
)
"""Words of when a use was: those are read."""
_SPOKEN = ("damaged", "out", "topped", "used", "moved", "fault", "stained")
_NO_PASS = frozenset({"2", "3"})
LONGEST_EXAMPLE = 16
_POURED_INTO = frozenset({Kind.BATH, Kind.BOTTLE})
FIRST_AID_TEXT = "use.spill"
_ASKED_BACK = (
    "told.un",
    "hearing.",
    "rest.which",
    "use.which",
    "cycle.which",
    "told.command",
    "cycle.out_and_more",
)
"""How texts are called that say that nothing, or not everything, is noted."""


def say_what_is_left(draft: Draft, typed: Typed, events: int, says: int) -> None:
    """*events* and *says* are how many there were before that text was heard.

    It is said before what is asked next: the question stays the last text on the phone.
    """
    is_one_thing = typed.asks or len(typed.words) <= 1
    if is_one_thing or any(_asks_back(each) for each in draft.says[says:]):
        return
    if any(each.text.slug == FIRST_AID_TEXT for each in draft.says[says:]):  # it comes first (S20)
        return
    left = _left(draft, typed, draft.events[events:])
    if left:
        draft.says.insert(says, Saying(left, draft.phone))


def _asks_back(saying: Saying) -> bool:
    return saying.lacks or saying.text.slug.startswith(_ASKED_BACK)


def _left(draft: Draft, typed: Typed, happened: Sequence[Event]) -> Text | None:
    command, told = command_of(draft, typed), _told(draft, typed)
    left = [kind for kind in told if not any(isinstance(each, _NOTED[kind]) for each in happened)]
    if left and (len(told) > 1 or command not in {"", *told, "fault", "spill", "splash"}):
        return _the_rest(draft, typed)
    if command == "used" and _tells_more(draft, typed, happened):
        return _of_the_use(draft, typed)
    if command not in _READ_NO_MORE:
        return None
    tells = left or any(isinstance(patient_code([each]), PatientCode) for each in typed.words[2:])
    goes_on = _goes_on(draft, typed)
    is_of_a_thing = goes_on and command != "clean" and any(map(TAG.fullmatch, typed.words))
    if tells or is_of_a_thing:
        return _the_rest(draft, typed)
    return _only(draft, typed) if goes_on else None


def _tells_more(draft: Draft, typed: Typed, happened: Sequence[Event]) -> bool:
    """USED V1 0412, T1 IS CLOUDY; behind a use without a code stand a patient's words."""
    used = [each for each in happened if isinstance(each, DeviceUsed)]
    codes = {each.patient for each in used}
    rest = words_unread(draft, typed.after(1), ())
    return bool(used) and not (OF_A_USE | _BESIDE_THEM | _OF_A_DAY | codes).issuperset(rest)


def _of_the_use(draft: Draft, typed: Typed) -> Text:
    named = [each for each in draft.clinic.devices if fold_ours(each) in typed.words]
    return say(
        "told.left_over.use",
        "Only the use is noted. {device} damaged, wet in the plug, its cover torn? {fault} "
        "{device}. A bath, bottle or strips not good? {fault} and its tag.",
        device=[*named, ""][0],
    )


def _only(draft: Draft, typed: Typed) -> Text:
    named = [each for each in typed.words if each in {*_labels(draft)} or TAG.fullmatch(each)]
    return say(
        "told.left_over.only",
        "I read just {example} of that: the rest is not noted.",
        example=" ".join((typed.words[0], *named))[:LONGEST_EXAMPLE],
    )


def _labels(draft: Draft) -> list[str]:
    return [*map(fold_ours, draft.clinic.devices)]


def _goes_on(draft: Draft, typed: Typed) -> bool:
    """A code behind CHECK is a label and what follows it, apart or not, and is read."""
    if code_problem(" ".join(typed.words[1:])) != "malformed":
        return False
    labels = tuple(_labels(draft))
    people = {name for each in draft.around.names.values() for name in fold(each).split()}
    unread = {*words_unread(draft, typed.after(1), ())} - _BESIDE_THEM - people
    return not all(each.startswith(labels) for each in unread)


def _told(draft: Draft, typed: Typed) -> list[str]:
    words = draft.vocabulary(draft.person).words
    ours = {slug: fold_ours(words[slug]) for slug in _SPOKEN}
    said = {
        word
        for before, word in zip(("", *typed.words), typed.words, strict=False)
        if before not in _DENIES
    }
    kinds = {
        "damaged": {ours["damaged"], ours["fault"], *(SEEN - _SOIL)},
        "out": {ours["out"], ours["moved"], ours["stained"]},
        "topped": {ours["topped"]},
        "used": {ours["used"]},
    }
    told = [kind for kind, spoken in kinds.items() if not spoken.isdisjoint(said)]
    pairs = pairwise(typed.words)
    is_a_strip = not command_of(draft, typed) and any(
        TAG.fullmatch(tag) and shown in _NO_PASS for tag, shown in pairs
    )
    return [*told, "strip"] if is_a_strip else told


def _the_rest(draft: Draft, typed: Typed) -> Text:
    devices, containers = draft.clinic.devices, draft.clinic.containers
    named = [each for each in devices if fold_ours(each) in typed.words]
    filled = [tag for tag, each in containers.items() if each.kind in _POURED_INTO]
    tags = [each for each in filled if fold_ours(each) in typed.words]
    device = [*named, *devices, ""][0]
    cycle = draft.clinic.cycles.get(devices[device].cycle or "") if device else None
    tag = [*tags, (cycle.bath if cycle else "") or ""][0]
    if not tag:
        return say(
            "told.left_over.of_a_probe",
            "Not all of that is noted. The rest by itself, please: {fault} {device}; {used} "
            "{device} and its code; {device} {moved}.",
            device=device,
        )
    return say(
        "told.left_over",
        "Not all of that is noted. The rest by itself, please: {fault} {device}; {used} {device} "
        "and its code; {device} {moved}; {topped} {tag}; {fault} {tag}.",
        device=device,
        tag=tag,
    )
