"""S10 on every path: a text that a carrier doubles, at once or late, never answers twice.

Doubled at once, after the next question has been answered, or after the one behind that. The one
exception is what breaks a soak or begins it anew: that is the safe side, and is taken as said.
An IN that comes after its soak is asked about.
"""

from dataclasses import dataclass
from datetime import timedelta
from functools import cache

from flows.parts import events as e
from flows.parts.clinic import Frame, Thread
from flows.parts.decision import Outcome
from flows.walk import Bells, Edge, Room, Text, Walk
from flows.words import COMMANDS, ENGLISH
from tests.conversation.walked import in_every_clinic, walked

COMMAND_WORDS = frozenset(ENGLISH.word(slug) for slug in COMMANDS)
"""What is said of its own accord answers nothing, and may be said twice."""

LATE = 2
"""How many more questions may have been answered before the double arrives."""

CHANGES_NOTHING = (
    e.AlertRaised,
    e.AnsweredTooSoon,
    e.BellRang,
    e.BellSet,
    e.FreeText,
    e.NotUnderstood,
    e.PhoneReachable,
    e.SaidBefore,
    e.UnverifiedFact,
    e.WrongPin,
)
ASKS_ABOUT_IT = {"cycle.in_again", "cycle.stayed", "containers.topped.unasked.which"}
SAFE_SIDE = (e.SoakBroken, e.CleaningRestarted, e.BathTooCold, e.PutInBath)


@dataclass(frozen=True)
class Doubled:
    """An accepted answer, and the text that came again."""

    edge: Edge
    later: int
    events: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.edge.input} again after {self.later}: {', '.join(self.events)}"


def advances(room: Room, outcome: Outcome) -> tuple[str, ...]:
    """What a doubled text did in *room*, where it did anything but fall on the safe side."""
    if any(isinstance(each, SAFE_SIDE) for each in outcome.events):
        return ()
    return tuple(
        type(each).__name__
        for each in outcome.events
        if not isinstance(each, CHANGES_NOTHING)
        and not asks_about_it(each)
        and not asks_the_same(room, each)
    )


def asks_about_it(event: e.Event) -> bool:
    """S6, S8: whether it was in once more, or stayed in, or which was topped up: it is asked.

    Nothing is taken as said.
    """
    return isinstance(event, e.QuestionAsked) and event.slug in ASKS_ABOUT_IT


def asks_the_same(room: Room, event: e.Event) -> bool:
    """S5: once more, as what was to be used has run out meanwhile: nothing is taken as said."""
    if not isinstance(event, e.QuestionAsked):
        return False
    asked = room.clinic.threads.get(event.thread)
    return asked is not None and _places(asked.frames) == _places(event.frames)


def is_accepted_answer(edge: Edge) -> bool:
    """A text of the thread it is asked of, that led to another question or to the end."""
    if not isinstance(edge.input, Text) or first_word(edge.input) in COMMAND_WORDS:
        return False
    asked = {each.id: each for each in edge.before.clinic.threads.values()}
    return any(
        (isinstance(each, e.QuestionAsked) and each.thread in asked)
        or isinstance(each, e.ThreadEnded)
        for each in edge.outcome.events
    )


def first_word(text: Text) -> str:
    return (text.body.split() or [""])[0]


def again(room: Room, given: Text) -> Outcome:
    """The same text once more, a second later, or when hands have had the time."""
    for wait in (1, 240):
        at = room.waited(timedelta(seconds=wait))
        outcome = Text(given.phone, given.body).heard(at)[1]
        if advances(room, outcome):
            return outcome
    return Outcome()


def next_answers(walk: Walk, state: int) -> Edge | None:
    """The work going on: the first answer that is accepted, or the bell that it waits for."""
    edges = walk.edges.get(state, [])
    accepted = [edge for edge in edges if is_accepted_answer(edge)]
    if accepted:
        return accepted[0]
    return next((edge for edge in edges if isinstance(edge.input, Bells)), None)


def doubles(walk: Walk, edge: Edge) -> list[Doubled]:
    assert isinstance(edge.input, Text)
    room, state, found = edge.after(), edge.to, []
    for later in range(LATE + 1):
        done = advances(room, again(room, edge.input))
        if done:
            found.append(Doubled(edge, later, done))
        onward = next_answers(walk, state)
        if onward is None:
            break
        before = onward.input.at(room)
        if before is None:
            break
        if same(onward, edge):
            break
        room, _ = onward.input.heard(before)
        state = onward.to
    return found


def same(onward: Edge, edge: Edge) -> bool:
    """Whether the next answer, honestly given, is the same text: then there is no telling."""
    one, other = onward.input, edge.input
    return isinstance(one, Text) and isinstance(other, Text) and one.body == other.body


@cache
def accepted(name: str) -> list[Edge]:
    """One edge for each step, answer and way on."""
    seen: dict[tuple[object, ...], Edge] = {}
    walk = walked(name)
    for edge in walk:
        if is_accepted_answer(edge) and isinstance(edge.input, Text):
            asked = [_place(each) for each in edge.before.clinic.threads.values()]
            after = [_place(each) for each in walk.rooms[edge.to].clinic.threads.values()]
            seen.setdefault((edge.input.body.split()[0], *asked, "", *after), edge)
    return list(seen.values())


def _place(thread: Thread) -> str:
    return _places(thread.frames)


def _places(frames: tuple[Frame, ...]) -> str:
    return "/".join(f"{frame.flow}.{frame.step}" for frame in frames)


@in_every_clinic
def test_S10_a_doubled_answer_never_answers_the_next_question_too(name: str) -> None:
    walk = walked(name)

    twice = [str(found) for edge in accepted(name) for found in doubles(walk, edge)]

    assert twice == []


@in_every_clinic
def test_S10_there_are_answers_to_double(name: str) -> None:
    assert len(accepted(name)) > 20
