"""Strips that are dipped: what each judges, and whether somebody is about to read it (S4)."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from flows.parts.clinic import Clinic, Container, Frame, Thread
from flows.parts.events import StripDipped, StripRead
from flows.parts.look_back import Dip


def dip_in(
    clinic: Clinic, container: Container, event: StripDipped | StripRead, at: datetime
) -> Dip:
    """What a strip that is dipped in *container* now will judge, whatever becomes of it then."""
    out = tuple(each for each in container.cycles if each != container.in_use_by)
    return Dip(
        test=event.test,
        strips=event.strips,
        lot=event.lot,
        cycle=event.cycle,
        at=at,
        read_until=event.read_until if isinstance(event, StripDipped) else at,
        cycles=out,
        running=tuple(each for each in out if each in clinic.cycles),
        in_use_by=container.in_use_by,
        put_in_since=False,
    )


def put_in_since(container: Container) -> tuple[Dip, ...]:
    """Its strips once something has gone in, be it what was in before."""
    return tuple(replace(each, put_in_since=True) for each in container.dips)


def is_of_before(container: Container, event: StripDipped, at: datetime) -> bool:
    """S4, S6: whether it may have been dipped before what went in last: then it judges none."""
    dipped, last = event.sent_at or at, container.disturbed_at
    return last is not None and dipped < last


def dip_of(container: Container, test: str) -> Dip | None:
    """The strip of that *test*; None once it has been read, or counts as never read."""
    return next((each for each in container.dips if each.test == test), None)


def is_awaited(clinic: Clinic, test: str, here: tuple[str, str] | None = None) -> bool:
    """Whether somebody is asked what the strip of that *test* shows; *here*: phone and person."""
    return any(each.get("test") == test for each in _readings(clinic, here))


def may_yet_fail(clinic: Clinic, container: Container) -> bool:
    """Whether a strip of it, or of what it was poured from, is still to be read, however late."""
    if any(each.get("container") == container.tag for each in _readings(clinic)):
        return True
    source = clinic.containers.get(container.source or "")
    return source is not None and may_yet_fail(clinic, source)


def _readings(clinic: Clinic, here: tuple[str, str] | None = None) -> list[Mapping[str, str]]:
    threads = (
        each for each in clinic.threads.values() if here in {None, (each.phone, each.person)}
    )
    frames = (frame for thread in threads for frame in thread.frames)
    return [each.memo for each in frames if _asks_for_the_colour(each)]


def is_to_be_read(thread: Thread) -> bool:
    """Whether what is asked in *thread* is the colour of a strip."""
    return _asks_for_the_colour(thread.top)


def _asks_for_the_colour(frame: Frame) -> bool:
    return (frame.flow, frame.step) == ("strip_test", "read")
