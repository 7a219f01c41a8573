"""What was told in a text beside what was taken of it, and by no clause of its own (S7).

One look, in one place, at every text: words that tell of damage, of a soak, of a mixture or of a
use, and no event of that kind; and words behind a command that reads none.
"""

from collections.abc import Mapping, Sequence

from flows.answer.draft import Draft
from flows.answer.facts_told import command_of
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
    TakenOut,
    UseCodeGiven,
    UseWithoutCode,
)
from flows.parts.text import Text, say
from flows.replies.denied import DENIES
from flows.replies.plainly import SEEN
from flows.replies.typed import Typed, fold_ours

_OF_IT_ALL = (ReleaseWithdrawn, CycleVoided, CycleAbandoned, CleaningRestarted)
_NOTED: Mapping[str, tuple[type[Event], ...]] = {
    "damaged": (FaultReported, Quarantined, FreeText, ContainerCondemned),
    "out": (SoakBroken, TakenOut, PutInBath, StepDone, *_OF_IT_ALL),
    "topped": (ContainerCondemned, ContainerHeld),
    "used": (DeviceUsed, UseWithoutCode, UseCodeGiven, FreeText),
}
"""By what events a thing that was told is on the record."""

_SOIL = frozenset({"DIRTY", "SOILED", "BLOOD", "STAINED", "STAIN", "STAINS"})
"""On a probe that is cleaned anyway it is no news."""
_DENIES = DENIES | {"IF"}
_READ_NO_MORE = frozenset({"clean", "check", "take", "test"})
"""Commands that read names and numbers behind them, and nothing else."""
_BESIDE_THEM = frozenset({"AGAIN", "STRIP", "STRIPS", "BATH", "TUB", "BOTTLE", "TODAY", "ANOTHER"})
_POURED_INTO = frozenset({Kind.BATH, Kind.BOTTLE})
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
    """*events* and *says* are how many there were before that text was heard."""
    if typed.asks or any(_asks_back(each) for each in draft.says[says:]):
        return
    if _is_left(draft, typed, draft.events[events:]):
        draft.say(Saying(_the_rest(draft, typed)))


def _asks_back(saying: Saying) -> bool:
    return saying.lacks or saying.text.slug.startswith(_ASKED_BACK)


def _is_left(draft: Draft, typed: Typed, happened: Sequence[Event]) -> bool:
    command = command_of(draft, typed)
    if command in _READ_NO_MORE and _goes_on(draft, typed):
        return True
    told = _told(draft, typed)
    left = [kind for kind in told if not any(isinstance(each, _NOTED[kind]) for each in happened)]
    return bool(left) and (len(told) > 1 or command not in {"", *told, "fault", "spill", "splash"})


def _goes_on(draft: Draft, typed: Typed) -> bool:
    """A code behind CHECK is a label and what follows it, apart or not, and is read."""
    if code_problem(" ".join(typed.words[1:])) != "malformed":
        return False
    labels = tuple(map(fold_ours, draft.clinic.devices))
    unread = {*words_unread(draft, typed.after(1), ())} - _BESIDE_THEM
    return not all(each.startswith(labels) for each in unread)


def _told(draft: Draft, typed: Typed) -> list[str]:
    words = draft.vocabulary(draft.person).words
    ours = {slug: fold_ours(words[slug]) for slug in (*_NOTED, "moved", "fault")}
    said = {
        word
        for before, word in zip(("", *typed.words), typed.words, strict=False)
        if before not in _DENIES
    }
    kinds = {
        "damaged": {ours["damaged"], ours["fault"], *(SEEN - _SOIL)},
        "out": {ours["out"], ours["moved"]},
        "topped": {ours["topped"]},
        "used": {ours["used"]},
    }
    return [kind for kind, spoken in kinds.items() if not spoken.isdisjoint(said)]


def _the_rest(draft: Draft, typed: Typed) -> Text:
    devices, containers = draft.clinic.devices, draft.clinic.containers
    named = [each for each in devices if fold_ours(each) in typed.words]
    here = [each.bath for each in draft.clinic.cycles.values() if each.bath]
    filled = [tag for tag, each in containers.items() if each.kind in _POURED_INTO]
    tags = [each for each in filled if fold_ours(each) in typed.words]
    device, tag = [*named, *devices, ""][0], [*tags, *here, *filled, ""][0]
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
