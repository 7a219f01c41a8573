"""Final rinses, dry, inspect, cover, release code (S1)."""

from datetime import timedelta

from flows.calculations.check_code import release_code
from flows.cycle.asking import act, is_coached, stated
from flows.cycle.begin import out_of_use
from flows.cycle.broken import clean_again
from flows.cycle.cut_short import not_todays
from flows.parts.clinic import Standing
from flows.parts.decision import DONE, Decision, Saying, go
from flows.parts.events import CleanedForRepair, CycleAbandoned, Released, Stamped, StepDone
from flows.parts.moment import Moment
from flows.parts.reading import one_of
from flows.parts.situation import Situation
from flows.parts.step import Step, hands
from flows.parts.text import Text, say
from flows.protocols.model import Cover
from flows.replies import NotUnderstood
from flows.rules.held_since import not_as_today
from flows.rules.release import good_until, may_release, what_is_missing


def _label(situation: Situation) -> str:
    return situation.cycle.device


FINAL_RINSE = act(
    "final_rinse",
    "flushed",
    "final_dry",
    asks=lambda s: say(
        "cycle.final_rinse",
        "{device}: rinse {count} times, {litres} L fresh water and {span} each time, boiled and "
        "cooled or sterile. Reply {flushed}.",
        device=_label(s),
        count=s.protocol.chemistry.rinse_count,
        litres=s.protocol.chemistry.rinse_volume_l,
        span=s.protocol.chemistry.rinse_each_for,
    ),
    again=lambda s: say(
        "cycle.final_rinse.again",
        "{device}: rinsed {count} times for {span}? Reply {flushed}.",
        device=_label(s),
        count=s.protocol.chemistry.rinse_count,
        span=s.protocol.chemistry.rinse_each_for,
    ),
    at_least=lambda s: s.protocol.chemistry.rinse_count * s.protocol.chemistry.rinse_each_for,
)

FINAL_DRY = act(
    "final_dry",
    "dried",
    "final_inspect",
    asks=lambda s: say(
        "cycle.final_dry",
        "{device}: dry it from handle to tip with a fresh lint-free towel, no heat. "
        "Reply {dried}.",
        device=_label(s),
    ),
    again=lambda s: say(
        "cycle.final_dry.again",
        "{device}: dried from handle to tip? Reply {dried}.",
        device=_label(s),
    ),
    at_least=hands(5),
)


# -- the last look ------------------------------------------------------------------------------


def _ask_final_inspect(situation: Situation) -> Text:
    return say(
        "cycle.final_inspect",
        "{device}: look it over in good light. Clean and whole: {good}. Stain, residue or not "
        "sure: {stained}. Damage: {damaged}.",
        device=_label(situation),
    )


def _after_final_inspect(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "good":
        return Decision(events=stated(situation, "final_inspect"), then=go("cover"))
    return _not_clean(situation, said, moment)


def _not_clean(situation: Situation, said: str, moment: Moment) -> Decision:
    """Grey or dark residue is an alarm that it was not clean; not sure means clean it again."""
    if said == "damaged":
        return out_of_use(situation, "damaged_after")
    return clean_again(situation, "stained", moment)


FINAL_INSPECT = Step(
    name="final_inspect",
    asks=_ask_final_inspect,
    again=_ask_final_inspect,
    reads=one_of("good", "stained", "damaged"),
    decides=_after_final_inspect,
    answers=("good", "stained", "damaged"),
)


# -- cover and release --------------------------------------------------------------------------


def _ask_cover(situation: Situation) -> Text:
    return say(
        "cycle.cover",
        "{device}: cover it. Between patients a clean towel: {covered}. After the day's last, a "
        "sterile drape: {draped}.",
        device=_label(situation),
    )


def _ask_cover_brief(situation: Situation) -> Text:
    chemistry = situation.protocol.chemistry
    return say(
        "cycle.cover.brief",
        "{device}: rinse {count}x {litres} L {span}, dry handle to tip, look, cover. {covered}, "
        "day's last {draped}. Else {stained} or {damaged}.",
        device=_label(situation),
        count=chemistry.rinse_count,
        litres=chemistry.rinse_volume_l,
        span=chemistry.rinse_each_for,
    )


def _after_cover(situation: Situation, said: str, moment: Moment) -> Decision:
    if said in {"stained", "damaged"}:
        return _not_clean(situation, said, moment)
    return Decision(events=stated(situation, "cover"), then=go("sign_off", cover=said))


def _cover_takes(situation: Situation) -> timedelta:
    if is_coached(situation):
        return hands(3)(situation)
    chemistry = situation.protocol.chemistry
    return chemistry.rinse_count * chemistry.rinse_each_for


COVER = Step(
    name="cover",
    asks=_ask_cover,
    again=_ask_cover,
    asks_brief=_ask_cover_brief,
    reads=lambda s: (
        one_of("covered", "draped")(s)
        if is_coached(s)
        else one_of("covered", "draped", "stained", "damaged")(s)
    ),
    decides=_after_cover,
    answers=("covered", "draped"),
    done=("covered", "draped"),
    at_least=_cover_takes,
)


# -- who may release ----------------------------------------------------------------------------


def _ask_sign_off(situation: Situation) -> Text:
    if may_release(situation.person):
        return say(
            "cycle.sign_off.taken",
            "{device} is covered and its record is complete. Look at its cover. Whole, and you "
            "release it: {whole}. Not sure: {again}, and it is cleaned again.",
            device=_label(situation),
        )
    return say(
        "cycle.sign_off",
        "{device} is covered and NOT READY yet: it takes somebody who may release. They text "
        "{take} {device}.",
        device=_label(situation),
    )


def _read_sign_off(situation: Situation) -> str | NotUnderstood:
    slugs = ("whole", "again") if may_release(situation.person) else ("again",)
    return one_of(*slugs)(situation)


def _after_sign_off(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "again":
        return clean_again(situation, "asked", moment)
    return _earned(situation, situation.history(situation.cycle.id), moment)


def _sign_off(situation: Situation, moment: Moment) -> Decision | None:
    """S1: only a person who may release gets a code; who has not covered it is asked first."""
    if not situation.cycle.for_repair and not may_release(situation.person):
        return None
    history = situation.history(situation.cycle.id)
    earned = _earned(situation, history, moment)
    releases = any(isinstance(event, Released) for event in earned.events)
    return None if releases and not _has_covered_it(situation, history) else earned


def _has_covered_it(situation: Situation, history: tuple[Stamped, ...]) -> bool:
    by = [
        each.person
        for each in history
        if isinstance(each.event, StepDone) and each.event.what == "cover"
    ]
    return by[-1:] == [situation.who.id]


def _earned(situation: Situation, history: tuple[Stamped, ...], moment: Moment) -> Decision:
    """S1, S13: the record's own entries are asked; a quarantine is looked at first."""
    cycle = situation.cycle
    if cycle.for_repair:
        return _cleaned_for_repair(situation)
    changed = not_as_today(situation, moment.now)
    if changed:
        return not_todays(situation, changed)
    missing = what_is_missing(history, situation.protocol, moment.now)
    return _not_earned(situation, missing) if missing else _release(situation, moment)


def _cleaned_for_repair(situation: Situation) -> Decision:
    """S13: a cycle that a quarantine has touched cannot release, though it be lifted meanwhile."""
    cycle = situation.cycle
    text = (
        say(
            "cycle.for_repair",
            "{device} is cleaned for repair. It stays in quarantine: not for patients.",
            device=cycle.device,
        )
        if situation.device.standing is Standing.QUARANTINED
        else say(
            "cycle.for_repair.lifted",
            "{device} is cleaned for repair and NOT READY. For patients it must be cleaned "
            "again: {clean} {device}.",
            device=cycle.device,
        )
    )
    cleaned = CleanedForRepair(cycle.id, cycle.device)
    return Decision(events=(cleaned,), says=(Saying(text),), then=DONE)


def _release(situation: Situation, moment: Moment) -> Decision:
    cycle = situation.cycle
    cover = _cover(situation)
    until = good_until(cover, moment.now, situation.site)
    code = _code(situation, moment)
    text = say(
        "cycle.released",
        "{device} READY until {until}. Code {code}: write it on the tag and in the register. "
        "After the patient: {used} {device} and the patient code.",
        device=cycle.device,
        until=until,
        code=code,
    )
    released = Released(cycle.id, cycle.device, code, until, cover.name)
    return Decision(events=(released,), says=(Saying(text),), then=DONE)


def _code(situation: Situation, moment: Moment) -> str:
    draws = iter(range(10_000))
    return release_code(
        situation.cycle.device, lambda below: moment.draw(f"code{next(draws)}", below)
    )


def _cover(situation: Situation) -> Cover:
    """The protocol's covers stand in order: between patients, then after the day's last."""
    covers = situation.protocol.covers
    draped = situation.frame.memo.get("cover") == "draped"
    return covers[-1] if draped else covers[0]


def _not_earned(situation: Situation, missing: tuple[str, ...]) -> Decision:
    cycle = situation.cycle
    text = say(
        "cycle.not_released",
        "{device} is NOT READY: the record does not show all it needs. Clean it again: "
        "{clean} {device}. Your contact is told.",
        device=cycle.device,
    )
    abandoned = CycleAbandoned(cycle.id, cycle.device, f"not_proved:{missing[0]}")
    return Decision(events=(abandoned,), says=(Saying(text),), then=DONE)


SIGN_OFF = Step(
    name="sign_off",
    asks=_ask_sign_off,
    again=_ask_sign_off,
    asks_brief=_ask_sign_off,
    reads=_read_sign_off,
    decides=_after_sign_off,
    answers=("whole", "again"),
    skips=_sign_off,
)
