"""MENU, ABOUT, PLAN, and what is said when nothing is understood."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from flows.calculations.at_hand import day_at, usable_probes
from flows.calculations.hours import opens_at
from flows.calculations.packing import packing
from flows.calculations.planning import MOST_TO_TRY, Plan, WouldFit, planned, would_fit
from flows.calculations.rinsing import rinse_water
from flows.calculations.schedule import Day
from flows.parts.decision import Decision, told
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies.planned import BATHS, PATIENTS, PEOPLE, PROBES, planned_for
from flows.replies.typed import fold
from flows.rules.soak import clock_time
from flows.rules.strip import baths_for_use


def menu(_: Situation, __: Moment) -> Decision:
    """What can be texted, in one text."""
    text = say(
        "menu",
        "{clean} V1 / {used} V1 0412 / {check} V1 / {state} / {left} / {take} V1 / {fault} V1 / "
        "{spill} / {open} / {pour} / {mix} 2 L / {test} T1 / {discard} T1 / {plan} 9 / {about}",
    )
    return told(text)


def about(_: Situation, __: Moment) -> Decision:
    """S20: what overrules this bot."""
    text = say(
        "about",
        "Soakbell keeps times and the record. It cannot see the probe. The maker's instructions, "
        "local rules and trained judgement overrule it.",
    )
    return told(text)


def not_understood(_: Situation) -> Decision:
    """No question is open and no command was typed: never a dead end."""
    text = say(
        "menu.not_understood",
        "I did not understand that. To clean a probe: {clean} V1. After a patient: {used} V1 0412."
        " All words: {menu}.",
    )
    return told(text)


# -- PLAN ---------------------------------------------------------------------------------------

MOST_PATIENTS = 99
ONE_DAY = timedelta(days=1)
WORDS = {"examined": PATIENTS, "probe": PROBES, "bath": BATHS, "persons": PEOPLE}
"""What each word counts beside a number, by its slug."""


def plan(situation: Situation, moment: Moment) -> Decision:
    """PLAN 12, PLAN 12 2, PLAN 12 people 2: does that fit today. Nothing is recorded."""
    names = {fold(situation.vocabulary.word(slug)): kind for slug, kind in WORDS.items()}
    said = planned_for(typed(situation).after(1), names)
    if said is None:
        return told(_how_many())
    if not all(1 <= count <= _most(kind) for kind, count in said.items()):
        return told(_out_of_range())
    usable = usable_probes(situation.clinic)
    if not usable and PROBES not in said:
        return told(_all_in_quarantine())
    device = (*usable, *situation.clinic.devices.values())[0]
    protocol = situation.today(device.model)
    made = planned(_day(situation, said, protocol, moment.now), protocol)
    opens, closes = _hours(situation, moment.now)
    return told(_verdict(made, opens, closes), _to_pack(made, closes - opens), _to_rinse(made))


def _most(kind: str) -> int:
    return MOST_PATIENTS if kind == PATIENTS else MOST_TO_TRY


def _day(
    situation: Situation, said: Mapping[str, int], protocol: CycleProtocol, now: datetime
) -> Day:
    """What is at hand, and in its place whatever was named."""
    clinic = situation.clinic
    day = day_at(clinic, len(baths_for_use(clinic, protocol.chemistry, now)), said[PATIENTS])
    return replace(
        day,
        probes=said.get(PROBES, min(day.probes, MOST_TO_TRY)),
        baths=said.get(BATHS, day.baths),
        people=said.get(PEOPLE, day.people),
    )


def _how_many() -> Text:
    return say(
        "plan.how_many",
        "How many patients? Like {plan} 12. To try other numbers: {plan} 12 {probe} 2 {bath} 2 "
        "{persons} 2, or some of these.",
    )


def _out_of_range() -> Text:
    return say(
        "plan.range",
        "I can plan for 1 to 99 patients, and 1 to 9 probes, baths and people, like {plan} 12 "
        "{persons} 2.",
    )


def _all_in_quarantine() -> Text:
    return say(
        "plan.quarantine",
        "All probes here are in quarantine. To plan for 12 patients with 2 others: {plan} 12 2.",
    )


def _hours(situation: Situation, now: datetime) -> tuple[datetime, datetime]:
    """What is left of today; the whole of tomorrow once today's closing is past."""
    today = situation.local_day(now)
    opens, closes = _hours_on(situation, today)
    if now < closes:
        return max(opens, clock_time(now)), closes
    return _hours_on(situation, today + ONE_DAY)


def _hours_on(situation: Situation, day: date) -> tuple[datetime, datetime]:
    closes_at = situation.site.closes_at
    opens, closes = (_at(situation, day, each) for each in (opens_at(situation.site), closes_at))
    return opens, closes if closes > opens else _at(situation, day + ONE_DAY, closes_at)


def _at(situation: Situation, day: date, written: str) -> datetime:
    local = datetime.combine(day, time.fromisoformat(written), tzinfo=situation.zone)
    return local.astimezone(UTC)


def _verdict(made: Plan, opens: datetime, closes: datetime) -> Text:
    day = made.day
    ready = clock_time(opens + made.last_ready)
    if made.fits(closes - opens):
        return say(
            "plan.fits",
            "Patients {patients}, probes {probes}, baths {baths}, people {people}, {span} an "
            "exam, from {time}: it fits. Last probe ready {until}.",
            patients=day.patients,
            probes=day.probes,
            baths=day.baths,
            people=day.people,
            span=day.exam,
            time=opens,
            until=ready,
        )
    return say(
        "plan.too_much",
        "Patients {count}, people {people}, from {time}: too much, last probe ready {until}. "
        "{way_out}",
        count=day.patients,
        people=day.people,
        time=opens,
        until=ready,
        way_out=_way_out(would_fit(day, made.protocol, closes - opens)),
    )


def _way_out(told: WouldFit) -> Text:
    """What alone makes it fit, each named only where it does; and how many fit as it is."""
    ways = _ways(told)
    if ways is None:
        return say(
            "plan.way_out.fewer",
            "More of one thing alone does not help. Patients that fit: {patients}.",
            patients=told.patients,
        )
    return say(
        "plan.way_out",
        "It fits with {ways}. As it is, patients that fit: {patients}.",
        ways=ways,
        patients=told.patients,
    )


def _ways(told: WouldFit) -> Text | None:
    ways = []
    if told.probes:
        ways.append(say("plan.way.probes", "{probes} probes", probes=told.probes))
    if told.baths:
        ways.append(say("plan.way.baths", "{baths} baths", baths=told.baths))
    if told.people:
        ways.append(say("plan.way.people", "{people} people", people=told.people))
    if not ways:
        return None
    way_a = ways[0]
    way_b, way_c = (*ways[1:], None, None)[:2]
    if way_b and way_c:
        return say(
            "plan.ways.3", "{way_a}, {way_b} or {way_c}", way_a=way_a, way_b=way_b, way_c=way_c
        )
    return say("plan.ways.2", "{way_a} or {way_b}", way_a=way_a, way_b=way_b) if way_b else way_a


def _to_pack(made: Plan, open_for: timedelta) -> Text:
    amounts = {item.slug: item.amount for item in packing(made, open_for)}
    return say(
        "plan.pack",
        "Pack: towels {towels}, pairs of gloves {gloves}, strips {strips}, {product_ml} mL "
        "{product}, {detergent_ml} mL detergent, {water_l} L rinse water.",
        towels=amounts["towels"],
        gloves=amounts["gloves"],
        strips=amounts.get("strips", 0),
        product_ml=amounts["disinfectant"],
        product=made.protocol.chemistry.title,
        detergent_ml=amounts["detergent"],
        water_l=amounts["rinse_water"],
    )


def _to_rinse(made: Plan) -> Text:
    """Rinse water by product, a bath by device; the litres of the day stand in what to pack."""
    chemistry = made.protocol.chemistry
    return say(
        "plan.rinse",
        "Rinse each probe {times} x in {litres} L of water ({rinse_water}), {lasts} in all. A "
        "bath takes {product_ml} mL to the line.",
        times=chemistry.rinse_count,
        litres=chemistry.rinse_volume_l,
        lasts=rinse_water(chemistry).lasts,
        rinse_water=chemistry.rinse_water,
        product_ml=made.protocol.device_model.bath_volume_ml,
    )
