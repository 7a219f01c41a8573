"""Who waits at the same time goes together: one thread does for all what each came for."""

import threading
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Generic, TypeVar

MOST = 16
"""In one go. Another process waits so long for its turn: some 50 ms on a slow machine."""


@dataclass(eq=False, slots=True)
class Waiting:
    """One that somebody has come with."""

    was_in: bool = field(default=False, init=False)
    """Whether a go that it was taken along in is over."""
    _turn: threading.Lock = field(default_factory=threading.Lock, init=False)

    def __post_init__(self) -> None:
        self._turn.acquire()

    def wait(self) -> None:
        self._turn.acquire()

    def call(self) -> None:
        self._turn.release()


W = TypeVar("W", bound=Waiting)


class Together(Generic[W]):
    """A line that nobody stands in for company: whoever finds it empty goes at once.

    Whoever comes meanwhile is taken along, or is the next to go.
    """

    def __init__(self) -> None:
        self._door = threading.Lock()
        self._line: deque[W] = deque()
        self._is_out = False

    def go(self, one: W, do: Callable[[Iterator[W]], None]) -> None:
        """Come back when *one* was in a go: in that of *do* here, or in another thread's.

        *do* writes into each that it is handed what came of it. Whatever it raises is raised
        here alone.
        """
        if not self._is_first(one):
            one.wait()
            if one.was_in:
                return
        company = [one]
        try:
            do(self._each(company))
        finally:
            self._is_over(company)

    def _is_first(self, one: W) -> bool:
        with self._door:
            if self._is_out:
                self._line.append(one)
                return False
            self._is_out = True
            return True

    def _each(self, company: list[W]) -> Iterator[W]:
        yield company[0]
        while self._line and len(company) < MOST:
            company.append(self._line.popleft())
            yield company[-1]

    def _is_over(self, company: list[W]) -> None:
        with self._door:
            following = self._line.popleft() if self._line else None
            self._is_out = following is not None
        for each in company[1:]:
            each.was_in = True
            each.call()
        if following is not None:
            following.call()
