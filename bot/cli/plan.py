"""Does the day fit: the last probe's time, what would make it fit, a timetable, what to pack."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

import click

from bot.cli.at_site import reading, site_option, the_site
from bot.clock import machine_time
from bot.protocols import today
from bot.store.live import load
from flows.calculations.at_hand import OPENS_AT, OneProduct, by_product, day_at
from flows.calculations.chlorine_source import source_as_written
from flows.calculations.hours import LEAST_CLOSED, closes_next_day, is_hardly_closed, opens_at
from flows.calculations.measuring import Measure, measure_as_written
from flows.calculations.mixed_fresh import MadeOf
from flows.calculations.pace import pace_of
from flows.calculations.packing import Item, packing
from flows.calculations.planning import MOST_TO_TRY, Plan, more_of, planned, would_fit
from flows.calculations.schedule import Day, Turn
from flows.parts.clinic import Clinic
from flows.rules.release import is_ready
from flows.rules.soak import CALLS_OTHERS
from flows.rules.strip import baths_for_use

MOST_PATIENTS = 300
MINUTE = timedelta(minutes=1)
A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Hours:
    """From opening to closing, as spans since midnight."""

    opens: timedelta
    closes: timedelta

    @property
    def open_for(self) -> timedelta:
        return self.closes - self.opens

    def at(self, since_opening: timedelta) -> str:
        """The full minute at or after it, on the clock; a plan is never told too early."""
        minutes = -(-(self.opens + since_opening) // MINUTE)
        days, minute = divmod(minutes, A_DAY // MINUTE)
        clock = f"{minute // 60:02}:{minute % 60:02}"
        return f"{clock} +{days} d" if days else clock


@click.command()
@click.option("--patients", type=int, required=True, help="How many are to be examined.")
@click.option("--probes", type=int, help="Else those of the site that are not in quarantine.")
@click.option("--baths", type=int, help="Else those of the site that may be used, and 1 at least.")
@click.option("--people", type=int, help="Who examine and who clean; else 1.")
@click.option("--tubs", type=int, help="Tubs of detergent; else 1.")
@click.option("--rooms", type=int, help="How many are examined at a time; else 1.")
@click.option("--device", "label", help="Plan with those that soak in the same as this one.")
@click.option("--exam-minutes", type=int, help="From one patient to the next; else 10.")
@click.option("--opens", help=f"When the first is seen; else the site's opening, or {OPENS_AT}.")
@click.option(
    "--closes",
    help="When the last probe must be ready; else the site's closing; after midnight too.",
)
@click.option("--bath-ml", type=int, help="What fills a bath to the line; else as the device.")
@site_option
def command(
    *,
    opens: str | None,
    closes: str | None,
    bath_ml: int | None,
    label: str | None,
    site: str | None,
    **numbers: int | None,
) -> None:
    """Plan a day: does it fit, when is the last probe ready, what would help, what to pack.

    It is simulated with the figures of the site's own protocol. Times that hands take are common
    practice, no source.
    """
    wrong = [*_out_of_range({**numbers, "bath_ml": bath_ml}), *_no_times(opens, closes)]
    if wrong:
        raise click.ClickException("\n".join(wrong))
    clinic = _clinic(site)
    groups = by_product(clinic, today(clinic))
    group = _group(groups, label, are_named=numbers["probes"] is not None)
    hours = _hours_of(clinic, opens, closes)
    plan = planned(_day(clinic, group, numbers), group.protocol)
    to_pack = packing(plan, hours.open_for, bath_ml, _made_of(clinic), _cap(clinic))
    unready = [each.label for each in group.usable if not is_ready(each, machine_time())]
    verdict = (*_verdict(plan, hours), *_not_ready(plan, unready))
    for line in (*verdict, *_told(plan, hours, to_pack), *_of_the_others(groups, group)):
        click.echo(line)


def _out_of_range(numbers: Mapping[str, int | None]) -> Iterator[str]:
    limits = {"patients": MOST_PATIENTS, "exam_minutes": 240, "bath_ml": 99_999}
    for name, number in numbers.items():
        most = limits.get(name, MOST_TO_TRY)
        if number is not None and not 1 <= number <= most:
            yield f"--{name.replace('_', '-')} is {number}; give 1 to {most}."


def _no_times(opens: str | None, closes: str | None) -> Iterator[str]:
    for option, written in (("opens", opens), ("closes", closes)):
        if written is not None and _of_day(written) is None:
            yield f"--{option} is {written}; a time of day, like 08:00."


def _clinic(site: str | None) -> Clinic:
    with reading() as store:
        which = the_site(store, site)
        with store.read() as connection:
            return load(connection, which).clinic


def _group(groups: Sequence[OneProduct], label: str | None, *, are_named: bool) -> OneProduct:
    """Those that soak in the same as the device named, or as the first that may be used.

    Where it is named how many probes there are, none of those here need be for use.
    """
    if not groups:
        raise click.ClickException(
            "No device is enrolled here, and what it soaks in is not known without. Enrol one: "
            "soakbell device add V1 handheld_probe"
        )
    wanted = [
        each for each in groups if label is None or label in {one.label for one in each.devices}
    ]
    if label is not None and not wanted:
        raise click.ClickException(f"No device here is called {label}; soakbell device list.")
    usable = [each for each in wanted if each.usable] or (wanted if are_named else [])
    if not usable:
        raise click.ClickException(
            "No device here may be used. Enrol one: soakbell device add V1 handheld_probe"
        )
    return usable[0]


def _hours_of(clinic: Clinic, opens: str | None, closes: str | None) -> Hours:
    site = clinic.site
    usual = (opens_at(site), site.closes_at) if site else (OPENS_AT, "")
    return _hours(opens or usual[0], closes or usual[1])


def _hours(opens: str, closes: str) -> Hours:
    begins, ends = _of_day(opens), _of_day(closes)
    if begins is None or ends is None:
        raise click.ClickException(f"{opens} to {closes} are no hours; a time of day, like 08:00.")
    if is_hardly_closed(opens, closes):
        hours = LEAST_CLOSED // timedelta(hours=1)
        raise click.ClickException(
            f"--opens is {opens} and --closes is {closes}, which leaves it closed for less than "
            f"{hours} h; give a closing after that or well before, or the same time for day and "
            "night."
        )
    return Hours(begins, ends + A_DAY if closes_next_day(opens, closes) else ends)


def _of_day(written: str) -> timedelta | None:
    """Since midnight; None for what is no time of a day."""
    try:
        read = datetime.strptime(written, "%H:%M")  # noqa: DTZ007 - a time of any day
    except ValueError:
        return None
    return timedelta(hours=read.hour, minutes=read.minute)


def _day(clinic: Clinic, group: OneProduct, numbers: dict[str, int | None]) -> Day:
    given: dict[str, Any] = {key: number for key, number in numbers.items() if number is not None}
    minutes = given.pop("exam_minutes", None)
    if minutes is not None:
        given["exam"] = minutes * MINUTE
    baths = baths_for_use(clinic, group.protocol.chemistry, machine_time())
    day = day_at(group, len(baths), given["patients"])
    return replace(day, **given)


def _made_of(clinic: Clinic) -> MadeOf | None:
    """What the site mixes chlorine of, and with which measure, as it has chosen."""
    if clinic.site is None:
        return None
    source = source_as_written(clinic.site.way("chlorine_source"))
    own = measure_as_written(clinic.site.way("chlorine_measure"))
    return MadeOf(source, own) if source else None


def _cap(clinic: Clinic) -> Measure | None:
    """With which measure the site takes detergent, as it has chosen."""
    return measure_as_written(clinic.site.way("detergent_measure")) if clinic.site else None


# -- what is said -------------------------------------------------------------------------------


def _told(plan: Plan, hours: Hours, to_pack: Sequence[Item]) -> Iterator[str]:
    yield ""
    for probe in sorted({turn.probe for turn in plan.turns}):
        yield f"Probe {probe}"
        yield from (_turn(turn, hours) for turn in plan.turns if turn.probe == probe)
    yield ""
    yield "To pack:"
    yield from map(_item, to_pack)


def _of_the_others(groups: Sequence[OneProduct], planned_with: OneProduct) -> Iterator[str]:
    for each in groups:
        if each is not planned_with and each.usable:
            labels = ", ".join(one.label for one in each.usable)
            yield f"Not counted: {labels} soak in {each.protocol.chemistry.title}; --device."


def _verdict(plan: Plan, hours: Hours) -> Iterator[str]:
    day, last = plan.day, hours.at(plan.last_ready)
    yield (
        f"Patients {day.patients}, probes {day.probes}, baths {day.baths}, tubs {day.tubs}, "
        f"people {day.people}, {day.exam // MINUTE} min an exam, {hours.at(timedelta(0))} to "
        f"{hours.at(hours.open_for)}, {plan.protocol.chemistry.title}."
    )
    if plan.fits(hours.open_for):
        yield f"It fits: the last probe is ready at {last}."
    else:
        yield f"It does not fit: the last probe is ready at {last}."
        yield from _help(plan, hours)
    rooms = "one room" if day.rooms == 1 else f"{day.rooms} rooms"
    yield (
        f"Assumed: all patients are there at opening and every probe is ready; {rooms}; hands at "
        "a usual pace (common practice, no source)."
    )
    if plan.past_the_bell >= CALLS_OTHERS:
        yield (
            f"A probe waits up to {_minutes(plan.past_the_bell)} min past its bell, for want of "
            f"free hands; after {_minutes(CALLS_OTHERS)} min other phones are called. Better: "
            "somebody free takes it out."
        )


def _minutes(span: timedelta) -> int:
    return -(-span // MINUTE)


def _not_ready(plan: Plan, unready: Sequence[str]) -> Iterator[str]:
    """S9: the day that is planned may be any day, so the record knows of now alone."""
    if unready:
        minutes = _minutes(pace_of(plan.protocol).whole)
        yield f"Not READY now: {', '.join(unready)}. To clean one first takes {minutes} min."


def _help(plan: Plan, hours: Hours) -> Iterator[str]:
    told = would_fit(plan.day, plan.protocol, hours.open_for)
    counts = {"probes": told.probes, "baths": told.baths, "people": told.people, "tubs": told.tubs}
    tried = f"none found up to {MOST_TO_TRY}"
    each = ", ".join(f"{what}: {count or tried}" for what, count in counts.items())
    yield f"Each alone would make it fit: {each}. As it is, patients that fit: {told.patients}."
    if told.together:
        more = ", ".join(f"{what}: {n}" for what, n in more_of(told.together, plan.day).items())
        yield f"The fewest found that together would make it fit: {more}."
    elif not any(counts.values()):
        yield f"Together up to {MOST_TO_TRY} of each, none was found that would make it fit."


def _turn(turn: Turn, hours: Hours) -> str:
    at = hours.at
    return (
        f"  patient {turn.patient:>2}  exam {at(turn.examined_from)}  "
        f"clean {at(turn.cleaned_from)}  in bath {turn.bath} {at(turn.in_at)}  "
        f"out {at(turn.out_at)}  ready {at(turn.ready_at)}"
    )


def _item(item: Item) -> str:
    amount = f"{item.amount} {item.unit}".strip()
    return f"  {amount:>7}  {item.name}: {item.reason}"
