"""PLAN 12: does the day fit, what would make it fit, what to pack."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from flows.calculations.at_hand import OneProduct, by_product, day_at
from flows.calculations.hours import is_hardly_closed, open_next, opens_at
from flows.calculations.pace import pace_of
from flows.calculations.planning import (
    DEAREST_FIRST,
    MOST_TO_TRY,
    Plan,
    WouldFit,
    more_of,
    planned,
    would_fit,
)
from flows.calculations.schedule import Day
from flows.day_plan.to_pack import to_pack
from flows.parts.clinic import Device, Site
from flows.parts.decision import Decision, lacking, told
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.product_named import products_named, words_naming
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.planned import (
    BATHS,
    MINUTES,
    PATIENTS,
    PEOPLE,
    PROBES,
    TUBS,
    is_of_another_day,
    means_tomorrow,
    planned_for,
    says_hours,
)
from flows.replies.typed import Typed, fold
from flows.rules.release import is_ready
from flows.rules.soak import CALLS_OTHERS, clock_time
from flows.rules.strip import baths_for_use

MOST_PATIENTS = 99
A_MINUTE = timedelta(minutes=1)
LONGEST_EXAM = timedelta(minutes=99)
WORDS = {
    "examined": PATIENTS,
    "probe": PROBES,
    "bath": BATHS,
    "persons": PEOPLE,
    "basins": TUBS,
    "each_exam": MINUTES,
}
"""What each word counts beside a number, by its slug."""


def plan(situation: Situation, moment: Moment) -> Decision:
    """PLAN 12, PLAN 12 2, PLAN 12 people 2, PLAN 12 V2 tomorrow: does that fit.

    Nothing is recorded. Hours over midnight count as they are set up, unless they leave hardly any
    time closed: those are asked back, as one of the two is a slip.

    A day is planned with the probes of one product, since only they can share its baths (S4).
    """
    asked = typed(situation).after(1)
    device = device_named(situation)
    tomorrow = means_tomorrow(asked.words, fold(situation.vocabulary.word("tomorrow")))
    asked = asked.without(*([device.label] if device else []))
    no_time = _no_time(situation.site, asked)
    if no_time:
        return told(no_time)
    groups = by_product(situation.clinic, situation.today)
    group = _group(groups, device, asked)
    names = {fold(situation.vocabulary.word(slug)): kind for slug, kind in WORDS.items()}
    said = planned_for(asked.without(*tomorrow, *words_naming(group.protocol, asked.words)), names)
    if isinstance(said, NotUnderstood):
        return told(_asked_back(said)) if asked.words else lacking(_how_many())
    if not all(1 <= count <= _most(kind) for kind, count in said.items()):
        return told(_out_of_range())
    if not group.usable and PROBES not in said:
        return told(_all_in_quarantine(group, said[PATIENTS]))
    opens, closes = open_next(situation.site, moment.now, is_tomorrow=bool(tomorrow))
    begins = max(opens, clock_time(moment.now))
    unready = [each.label for each in group.usable if not is_ready(each, begins)]
    is_today = situation.local_day(begins) == situation.local_day(moment.now)
    day = _day(situation, group, said, moment.now, len(unready) if is_today else 0)
    made = planned(day, group.protocol)
    texts = [
        _verdict(made, begins, closes),
        *_past_the_bell(made),
        *_not_ready(made, group, unready, is_today=is_today, fits=made.fits(closes - begins)),
        *to_pack(situation, made, closes - begins),
    ]
    return told(*texts, *_of_the_others(groups, group))


def _no_time(site: Site, asked: Typed) -> Text | None:
    """Why it cannot be planned for when it is meant, or for when the site is open."""
    if is_of_another_day(asked.words):
        return _no_other_day()
    if says_hours(asked.words):
        return _no_other_hours(site.closes_at)
    if is_hardly_closed(opens_at(site), site.closes_at):
        return _hardly_closed(opens_at(site), site.closes_at)
    return None


def _group(groups: Sequence[OneProduct], device: Device | None, asked: Typed) -> OneProduct:
    """That of the device or the product named; else the first with a probe that may be used."""
    if device:
        return next(each for each in groups if device in each.devices)
    named = products_named(asked.words, [each.protocol for each in groups])
    meant = [each for each in groups if each.protocol in named] or groups
    return next((each for each in meant if each.usable), meant[0])


def _of_the_others(groups: Sequence[OneProduct], planned_with: OneProduct) -> list[Text]:
    others = [each for each in groups if each is not planned_with and each.usable]
    if not others:
        return []
    return [
        say(
            "plan.one_product",
            "This is for the probes that soak in {product}. For those in {other_product}: {plan} "
            "12 {device}.",
            product=planned_with.protocol.chemistry.title,
            other_product=others[0].protocol.chemistry.title,
            device=others[0].usable[0].label,
        )
    ]


def _most(kind: str) -> int:
    most = {PATIENTS: MOST_PATIENTS, MINUTES: LONGEST_EXAM // A_MINUTE}
    return most.get(kind, MOST_TO_TRY)


def _not_ready(
    made: Plan, group: OneProduct, unready: Sequence[str], *, is_today: bool, fits: bool
) -> list[Text]:
    """S9: no patient is examined with them until they are; what is counted as READY is said."""
    firsts = sum(turn.patient == 0 for turn in made.turns)
    if unready and not is_today:
        return [
            say(
                "plan.ready_by_then",
                "I count on all probes being READY at opening. Not so by what I know: {devices}. "
                "To clean one first takes {lasts}.",
                devices=listed(unready),
                lasts=pace_of(made.protocol).whole,
            )
        ]
    if firsts:
        return [_cleaned_first(unready, firsts)]
    if made.day.probes > len(group.usable) or (unready and not fits):
        return [_added_ready(len(group.usable) - len(unready))]
    return []


def _cleaned_first(unready: Sequence[str], count: int) -> Text:
    return say(
        "plan.cleaned_first",
        "Not READY: {devices}. The plan begins with cleaning {count} of these, and packs for it. "
        "Any other probe counts as READY.",
        devices=listed(unready),
        count=count,
    )


def _added_ready(ready_here: int) -> Text:
    """Of one that is named, or would make it fit, and is not here: nobody knows."""
    return say(
        "plan.added_ready",
        "READY of your probes: {probes}. Any that you add to them I count as READY at the start.",
        probes=ready_here,
    )


def _day(
    situation: Situation, group: OneProduct, said: Mapping[str, int], now: datetime, unready: int
) -> Day:
    """What is at hand, and in its place whatever was named."""
    baths = baths_for_use(situation.clinic, group.protocol.chemistry, now)
    day = day_at(group, len(baths), said[PATIENTS], unready)
    return replace(
        day.with_probes(said.get(PROBES, min(day.probes, MOST_TO_TRY))),
        baths=said.get(BATHS, day.baths),
        people=said.get(PEOPLE, day.people),
        tubs=said.get(TUBS, day.tubs),
        exam=A_MINUTE * said[MINUTES] if MINUTES in said else day.exam,
    )


def _asked_back(said: NotUnderstood) -> Text:
    if said.hint == "word":
        return _unread(said.near)
    return _what_counts() if said.hint == "ambiguous" else _how_many()


def _how_many() -> Text:
    return say(
        "plan.how_many",
        "How many patients? Like {plan} 12. To try other numbers: {plan} 12 {probe} 2 {bath} 2 "
        "{persons} 2 {basins} 2 {each_exam} 15, or some of these.",
    )


def _what_counts() -> Text:
    return say(
        "plan.what_counts",
        "What does each number count? Say it like this: {plan} 12 {probe} 2 {bath} 2 {persons} 2 "
        "{basins} 2 {each_exam} 15, or some of these.",
    )


def _unread(word: str) -> Text:
    return say(
        "plan.word",
        "I cannot read {word} in a plan. Like this I can: {plan} 12 {probe} 2 {bath} 2 {persons} "
        "2 {basins} 2 {each_exam} 15 {tomorrow}, or some of these.",
        word=word,
    )


def _no_other_day() -> Text:
    return say(
        "plan.other_day",
        "I plan the rest of today or the whole of tomorrow, no other day: {plan} 12, or {plan} 12 "
        "{tomorrow}.",
    )


def _no_other_hours(closes_at: str) -> Text:
    return say(
        "plan.other_hours",
        "I plan to your closing time, {clock}, and with no other hours: those are planned at the "
        "desk. For a plan to closing time: {plan} 12.",
        clock=closes_at,
    )


def _hardly_closed(opens: str, closes: str) -> Text:
    return say(
        "plan.hardly_closed",
        "By what is set up this site opens at {clock} and closes at {closing}, so it is hardly "
        "ever closed: I plan nothing. Please ask your contact which time is right.",
        clock=opens,
        closing=closes,
    )


def _out_of_range() -> Text:
    return say(
        "plan.range",
        "I can plan for 1 to 99 patients, 1 to 9 probes, baths, people and tubs, exams of 1 to 99 "
        "minutes, like {plan} 12 {persons} 2.",
    )


def _all_in_quarantine(group: OneProduct, patients: int) -> Text:
    return say(
        "plan.quarantine",
        "All probes here that soak in {product} are in quarantine. To plan with 2 others: {plan} "
        "{patients} 2.",
        product=group.protocol.chemistry.title,
        patients=patients,
    )


def _verdict(made: Plan, opens: datetime, closes: datetime) -> Text:
    day = made.day
    ready = clock_time(opens + made.last_ready)
    if made.fits(closes - opens):
        return say(
            "plan.fits",
            "Patients {patients}, probes {probes}, baths {baths}, people {people}, tubs {tubs}, "
            "{span} an exam, from {time}: it fits. Last probe ready {until}.",
            patients=day.patients,
            probes=day.probes,
            baths=day.baths,
            people=day.people,
            tubs=day.tubs,
            span=day.exam,
            time=opens,
            until=ready,
        )
    told = would_fit(day, made.protocol, closes - opens)
    return say(
        "plan.too_much",
        "Patients {count} (that fit: {patients}), people {people}, from {time}: too much, last "
        "probe ready {until}. {way_out}",
        count=day.patients,
        patients=told.patients,
        people=day.people,
        time=opens,
        until=ready,
        way_out=_way_out(told, day),
    )


def _way_out(told: WouldFit, day: Day) -> Text:
    """What alone makes it fit, each named only where it does; else the fewest things together."""
    alone = _things({what: getattr(told, what) for what in DEAREST_FIRST})
    if alone:
        return say("plan.way_out", "It fits with {ways}.", ways=_or(*alone))
    if told.together:
        more = _things(more_of(told.together, day))
        return say("plan.way_out", "It fits with {ways}.", ways=_and(*more))
    return say("plan.way_out.none", "Even 9 of each do not make it fit, one exam at a time.")


def _past_the_bell(made: Plan) -> list[Text]:
    """S12: whoever keeps to it hears their bell in an examination, and others hear it too."""
    if made.past_the_bell < CALLS_OTHERS:
        return []
    return [
        say(
            "plan.past_the_bell",
            "By this plan a probe waits up to {span} past its bell, for want of free hands. "
            "After {lasts} I call others. Better: somebody free takes it out.",
            span=made.past_the_bell,
            lasts=CALLS_OTHERS,
        )
    ]


def _things(counts: Mapping[str, int | None]) -> list[Text]:
    things: Mapping[str, Callable[[int], Text]] = {
        "probes": lambda count: say("plan.way.probes", "{probes} probes", probes=count),
        "baths": lambda count: say("plan.way.baths", "{baths} baths", baths=count),
        "people": lambda count: say("plan.way.people", "{people} people", people=count),
        "tubs": lambda count: say("plan.way.tubs", "{tubs} detergent tubs", tubs=count),
    }
    return [words(count) for what, words in things.items() if (count := counts.get(what))]


def _or(way_a: Text, way_b: Text | None = None, *more: Text) -> Text:
    """Each by itself."""
    if way_b is None:
        return way_a
    if not more:
        return say("plan.ways.2", "{way_a} or {way_b}", way_a=way_a, way_b=way_b)
    return say("plan.ways.more", "{way_a}, {ways}", way_a=way_a, ways=_or(way_b, *more))


def _and(way_a: Text, way_b: Text, *more: Text) -> Text:
    """All together."""
    if not more:
        return say("plan.together.2", "{way_a} and {way_b}", way_a=way_a, way_b=way_b)
    return say("plan.together.more", "{way_a}, {ways}", way_a=way_a, ways=_and(way_b, *more))
