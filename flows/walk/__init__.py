"""Every reachable state x every kind of reply x every bell; the proof of S1 and of no dead end.

States are told apart by `likeness`. The work going as it should costs nothing; each thing that
strays from it costs one, and every state within reach of so many is looked at, and from each the
work going on as it should, to its end.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field

from flows.walk.inputs import Chance, chances
from flows.walk.likeness import likeness
from flows.walk.room import Bells, Down, Edge, Facts, Input, Pin, Room, Text, take
from flows.walk.start import Setting

__all__ = [
    "Bells",
    "Chance",
    "Down",
    "Edge",
    "Facts",
    "Input",
    "Pin",
    "Room",
    "Setting",
    "Text",
    "Walk",
    "walk",
]

Aside = Callable[[Room], Hashable]
"""What else tells states apart: what a proof wants to know of them."""


@dataclass(slots=True)
class Walk:
    """What was seen: states by number, and from each of them every input and where it led."""

    rooms: list[Room] = field(default_factory=list)
    edges: dict[int, list[Edge]] = field(default_factory=dict)
    numbers: dict[Hashable, int] = field(default_factory=dict)

    def __iter__(self) -> Iterator[Edge]:
        """Every edge, in the order it was found."""
        for found in self.edges.values():
            yield from found

    def number(self, room: Room, aside: Aside) -> int:
        """The number of the state that *room* is in; a new one where it is like no other."""
        key = (likeness(room), aside(room))
        if key not in self.numbers:
            self.numbers[key] = len(self.rooms)
            self.rooms.append(room)
        return self.numbers[key]


def _nothing(_: Room) -> Hashable:
    return None


def _everything(_: Chance) -> bool:
    return True


def walk(
    start: Room,
    strays: int,
    aside: Aside = _nothing,
    worth: Callable[[Chance], bool] = _everything,
) -> Walk:
    """Look at every state within *strays* of the work going as it should, from *start*.

    Only chances that are *worth* trying are tried.
    """
    seen = Walk()
    waiting: list[deque[int]] = [deque() for _ in range(strays + 1)]
    waiting[0].append(seen.number(start, aside))
    for cost, queue in enumerate(waiting):
        while queue:
            state = queue.popleft()
            if state in seen.edges:
                continue
            seen.edges[state] = found = []
            for chance in chances(seen.rooms[state]):
                if cost + chance.strays > strays or not worth(chance):
                    continue
                edge = _tried(seen, state, chance.input, aside)
                if edge:
                    found.append(edge)
                    waiting[cost + chance.strays].append(edge.to)
    return seen


def _tried(seen: Walk, state: int, given: Input, aside: Aside) -> Edge | None:
    taken = take(seen.rooms[state], given)
    if taken is None:
        return None
    before, after, outcome = taken
    return Edge(before, given, outcome, seen.number(after, aside))
