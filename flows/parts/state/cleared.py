"""What a pass clears of doubt, and what is in doubt again once its strips are worthless (S4)."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime

from flows.parts.clinic import Batch, Clinic, Container, Recall, StripBottle
from flows.parts.look_back import Cleared, Dip
from flows.parts.state.change import put

UNKNOWN = Batch("", "")
"""Strips of a bottle that the record does not know."""


def cleared_by(strips: Batch | None, dip: Dip, container: Container) -> Container:
    """*container* once such strips have passed in it; what their *dip* does not judge stays.

    What they clear is kept beside what was cleared before, strips of one bottle and day together:
    ten characters a cycle, and no longer than the container itself.
    """
    batch, judged = strips or UNKNOWN, dip.clears
    gone = tuple(each for each in container.cycles if each in judged)
    left = tuple(each for each in container.cycles if each not in judged)
    mine = Cleared(batch.product, batch.lot, gone, dip.strips, dip.at)
    *before, last = container.cleared or (replace(mine, cycles=()),)
    if _bottle_and_day(last) == _bottle_and_day(mine):
        mine = replace(mine, cycles=_once((*last.cycles, *gone)))
    else:
        before = [*before, last]
    cleared = (*before, mine) if before or mine.cycles else ()
    return replace(container, cycles=left, cleared=cleared)


def _bottle_and_day(one: Cleared) -> tuple[object, ...]:
    return one.product, one.lot, one.strips, one.last and one.last.date()


def withdrawn(clinic: Clinic, recall: Recall, also: tuple[str, ...]) -> Clinic:
    """S4, S18: what worthless strips had cleared is cleared by the next pass, or is in doubt.

    Worthless are those that *recall* is of, and those in the bottles of *also*.
    """
    named = [clinic.strips[tag] for tag in also if tag in clinic.strips]
    worthless = {Batch(each.product, each.lot) for each in named}
    return _withdrawn(clinic, lambda one: _of(one) in worthless or misreads(recall, _of(one)))


def withdrawn_of(clinic: Clinic, bottle: StripBottle) -> Clinic:
    """S4: the same of strips that have failed their control after all; lots are told apart."""
    return _withdrawn(clinic, lambda one: _of(one) == Batch(bottle.product, bottle.lot))


def withdrawn_since(clinic: Clinic, bottle: StripBottle, since: datetime) -> Clinic:
    """S4: the same of strips that turn out to have been over, from then on."""
    return _withdrawn(
        clinic,
        lambda one: one.strips == bottle.tag and one.last is not None and one.last >= since,
    )


def _of(one: Cleared) -> Batch:
    return Batch(one.product, one.lot)


def _withdrawn(clinic: Clinic, is_worthless: Callable[[Cleared], bool]) -> Clinic:
    containers = clinic.containers
    for each in clinic.containers.values():
        containers = put(containers, each.tag, _without(each, is_worthless))
    return replace(clinic, containers=containers)


def _without(container: Container, is_worthless: Callable[[Cleared], bool]) -> Container:
    kept: list[Cleared] = []
    loose: tuple[str, ...] = ()
    for each in container.cleared:
        cycles = _once((*loose, *each.cycles))
        counts = not is_worthless(each)
        loose = () if counts else cycles
        if counts:
            kept.append(replace(each, cycles=cycles))
    cycles = _once((*loose, *container.cycles))
    return replace(container, cycles=cycles, cleared=tuple(kept))


def misreads(recall: Recall, strips: Batch) -> bool:
    """Whether a pass by such strips counts for nothing: their lot, or a figure of theirs."""
    by_figure = recall.what == "figure" and recall.product == strips.product
    return by_figure or recall.covers(strips)


def _once(cycles: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cycles))
