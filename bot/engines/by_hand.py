"""For tests and the terminal: somebody else says when."""

from bot.engines.engine import Duties


class ByHand:
    """Does nothing by itself; `look` does all that is due, in the order in which people act."""

    def __init__(self, duties: Duties) -> None:
        self._duties = duties

    def start(self) -> None:
        """Nothing begins by itself."""

    def wake(self) -> None:
        """Nobody is waiting to be woken: whoever has the clock in hand looks."""

    def stop(self) -> None:
        """Nothing runs."""

    def look(self) -> None:
        self._duties.ring()
        self._duties.send()

    def do_chores(self) -> None:
        for chore in self._duties.chores:
            chore.do()
