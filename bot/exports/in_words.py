"""An entry as a sentence, for people who read a record aloud."""

from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from bot.exports.figures import ages, celsius, clock, day_and_clock, held, span
from bot.record.correction import as_meant
from bot.record.written import Written
from bot.reports.timeline import Timeline
from flows.parts import events as e
from flows.parts.events import Event

Sentence = Callable[[Any, Timeline], str]

ACTS: Mapping[str, str] = {
    "inspect": "inspected: no damage, plug dry",
    "wipe_detergent": "handle and cable wiped with detergent",
    "wipe_water": "handle and cable wiped with water",
    "wipe_disinfectant": "handle and cable left wet with disinfectant",
    "wipe_rinse": "handle and cable wiped with water again",
    "mix": "detergent mixed fresh",
    "under": "probe under in detergent",
    "rinse": "rinsed of detergent",
    "dry": "dried before the bath",
    "container": "container washed, rinsed and dried after detergent, or another one",
    "gloves": "clean gloves on before it was taken out",
    "inspect_after": "inspected after too long a soak",
    "final_rinse": "final rinses done",
    "final_dry": "dried from handle to tip",
    "final_inspect": "inspected: clean and whole",
    "cover": "covered",
}


BECAUSE: Mapping[str, str] = {
    "activation_unknown": "nobody knows when it was activated",
    "figure_recalled": "a figure that it rests on is recalled",
    "may_be_topped": "it may be what was topped up",
    "kin_failed": "a strip failed in solution of the same origin",
    "lot_recalled": "its lot is recalled",
    "not_active": "it was poured before its jug was activated",
    "no_result": "two strips gave no result",
    "not_vouched_for": "whoever had vouched for it took that back",
    "of_topped_up": "it was poured from what was topped up",
    "probe_in_it": "a probe was put in it, and it is no bath",
    "strip_failed": "its strip failed",
    "strips_recalled": "the strips that it passed are recalled",
    "topped_up": "it was topped up",
    "twin_failed": "what may be the same bottle has failed its control",
}
"""Why a container is not used any more, or not for now."""


def in_words(timeline: Timeline, written: Written) -> str:
    """What an entry says, and what of it was corrected; for want of a sentence by its fields."""
    event = written.stamped.event
    sentence = _SENTENCES.get(type(event))
    told = sentence(event, timeline) if sentence else _by_its_fields(event, timeline)
    return "; ".join([told, *corrections(timeline, written)])


def corrections(timeline: Timeline, written: Written) -> list[str]:
    """S15: each thing that another entry says should have been otherwise."""
    return [
        corrected(timeline, written, seq, said) for seq, said in timeline.corrections(written.seq)
    ]


def corrected(timeline: Timeline, written: Written, seq: int, said: e.Corrected) -> str:
    """What one correction makes of an entry."""
    value = as_meant(written.stamped.event, said.field, said.value)
    field = said.field.replace("_", " ")
    return f"{field} corrected to {_figure(value, timeline)} by entry {seq}"


def _when(timeline: Timeline, moment: datetime) -> str:
    return day_and_clock(timeline.local(moment))


def _began(event: e.CycleBegan, _: Timeline) -> str:
    what = "cleaning for repair" if event.for_repair else "cleaning"
    return f"{what} of {event.device} began, {event.level} texts, protocol {event.fingerprint}"


def _act(event: e.StepDone, _: Timeline) -> str:
    done = ACTS.get(event.what, event.what)
    act = f"{done}, from {event.container}" if event.container else done
    return f"{act} (stated with {event.stated_with})" if event.stated_with else act


def _immersed(event: e.Immersed, timeline: Timeline) -> str:
    judged = f"strip {event.strip_test}" if event.strip_test else "what stands in a strip's place"
    return (
        f"IN: {event.device} into bath {event.bath} at {celsius(event.celsius)}; "
        f"bath good until {_when(timeline, event.bath_discard_by)}, {judged} "
        f"good until {_when(timeline, event.strip_good_until)}; "
        f"bell {event.number} at {clock(timeline.local(event.due))}"
    )


def _taken_out(event: e.TakenOut, timeline: Timeline) -> str:
    warmth = f", bath at {celsius(event.celsius)}" if event.celsius is not None else ""
    over = "; LONGER than the maximum" if event.over_maximum else ""
    return (
        f"OUT {event.number}: {event.device} out of bath {event.bath} at "
        f"{clock(timeline.local(event.ended))} after {span(event.lasted)}{warmth}{over}"
    )


def _strip_read(event: e.StripRead, _: Timeline) -> str:
    strip = f"strip from {_lot_of(event)} in {event.container}: {event.outcome}"
    if event.because == "never_read":
        return f"{strip}, never read; {span(event.age)} after its dip another was dipped"
    because = f" ({event.because})" if event.because else ""
    proved = "" if event.age_proved else "; the time between dip and reading is not proved"
    return f"{strip}{because}, read {ages(event.age, event.age_most)} after the dip{proved}"


def _lot_of(event: e.StripDipped | e.StripRead) -> str:
    """The bottle of strips, and its lot where the entry bears it."""
    return f"{event.strips}, lot {event.lot}," if event.lot else event.strips


def _strips_checked(event: e.StripsChecked, _: Timeline) -> str:
    passed = "passed" if event.passed else "NOT passed"
    return (
        f"strips {event.tag} tested, lot {event.lot or 'none'}: {event.qc_good} in good and "
        f"{event.qc_diluted} in diluted solution, {passed}"
    )


def _jug(event: e.JugOpened, timeline: Timeline) -> str:
    what = f"jug {event.tag} of {event.product}{held(event.volume_ml)}"
    return (
        f"{what} opened {_when(timeline, event.opened)}, lot "
        f"{event.lot or 'none'}, expires {event.expires}, discard by "
        f"{_when(timeline, event.discard_by)} ({event.because})"
    )


def _activated(event: e.JugActivated, timeline: Timeline) -> str:
    return (
        f"jug {event.tag} activated {_when(timeline, event.activated)}, discard by "
        f"{_when(timeline, event.discard_by)} ({event.because})"
    )


def _poured(event: e.Poured, timeline: Timeline) -> str:
    topped = "; TOPPED UP" if event.topped_up else ""
    what = f"{event.kind} {event.tag}{held(event.volume_ml)}"
    return (
        f"{what} filled from {event.source} {_when(timeline, event.poured)}, "
        f"discard by {_when(timeline, event.discard_by)} ({event.because}){topped}"
    )


def _mixed(event: e.Mixed, timeline: Timeline) -> str:
    source = f"{event.source}, " if event.source else ""
    return (
        f"{event.tag} mixed: {event.volume_ml} ml of {event.product} {event.strength} from "
        f"{source}lot {event.lot or 'none'}, {_when(timeline, event.mixed)}, "
        f"discard by {_when(timeline, event.discard_by)} ({event.because})"
    )


def _why(because: str) -> str:
    return BECAUSE.get(because, because.replace("_", " "))


def _case(event: e.CaseOpened, timeline: Timeline) -> str:
    what = f"{event.cause.replace('_', ' ')}, {event.subject}"
    since = f" since {_when(timeline, event.since)}" if event.since else ""
    return f"look-back opened, {what}: cycles{since}: {' '.join(event.cycles) or 'none'}"


def _strips(event: e.StripBottleOpened, timeline: Timeline) -> str:
    failed = "NOT passed" if event.qc_good or event.qc_diluted else "not done yet"
    checked = "passed" if event.checked else failed
    return (
        f"strips {event.tag} of {event.product} opened {_when(timeline, event.opened)}, lot "
        f"{event.lot or 'none'}, expires {event.expires}, discard by "
        f"{_when(timeline, event.discard_by)}; quality control {checked}"
    )


def _released(event: e.Released, timeline: Timeline) -> str:
    until = _when(timeline, event.until)
    return f"{event.device} RELEASED, code {event.code}, good until {until}, {event.cover}"


def _used(event: e.DeviceUsed, _: Timeline) -> str:
    ready = "" if event.ready else "; it was NOT READY"
    late = ", told later" if event.late else ""
    return f"{event.device} used on patient {event.patient}{late}{ready}"


def _recalled(event: e.Recalled, _: Timeline) -> str:
    what = event.what.replace("_", " ")
    figure = f" {event.value}" if event.value else ""
    return f"RECALLED: {what} {event.mark}{figure} of {event.product}"


_SENTENCES: Mapping[type[Event], Sentence] = {
    e.CycleBegan: _began,
    e.StepDone: _act,
    e.Immersed: _immersed,
    e.TakenOut: _taken_out,
    e.StripRead: _strip_read,
    e.JugOpened: _jug,
    e.JugActivated: _activated,
    e.ContainerCondemned: lambda event, _: f"{event.tag} CONDEMNED: {_why(event.because)}",
    e.ContainerHeld: lambda event, _: f"{event.tag} ON HOLD: {_why(event.because)}",
    e.ContainerDiscarded: lambda event, _: (
        f"{event.tag} gone: {_why(event.because) if event.because else 'thrown away'}"
    ),
    e.Mixed: _mixed,
    e.CaseOpened: _case,
    e.EvidenceStated: lambda event, _: (
        f"bath {event.bath} from {event.strength}, no strip exists for it; stated: "
        + ", ".join(each.replace("_", " ") for each in event.stated)
    ),
    e.Poured: _poured,
    e.StripBottleOpened: _strips,
    e.Released: _released,
    e.DeviceUsed: _used,
    e.CautionsAcknowledged: lambda _, __: "cautions acknowledged",
    e.BathChosen: lambda event, _: f"bath {event.bath} chosen",
    e.StripsChecked: _strips_checked,
    e.StripDipped: lambda event, _: f"strip from {_lot_of(event)} dipped in {event.container}",
    e.DetergentSoakBegan: lambda event, _: f"detergent soak began, bell {event.number}",
    e.DetergentSoakEnded: lambda event, _: f"detergent soak ended after {span(event.lasted)}",
    e.BathTooCold: lambda event, _: (
        f"bath at {celsius(event.celsius)}, the limit is {celsius(event.limit)}"
    ),
    e.PutInBath: lambda event, _: f"{event.device} was in {event.bath}, no soak: {event.because}",
    e.SoakBroken: lambda event, _: f"soak BROKEN after {span(event.lasted)}: {event.because}",
    e.CleaningRestarted: lambda event, _: f"cleaned again from the start: {event.because}",
    e.BellSet: lambda event, timeline: (
        f"{event.kind} bell set for {clock(timeline.local(event.due))}"
    ),
    e.Nudged: lambda event, _: f"asked again, nobody had answered (stage {event.stage})",
    e.CycleTaken: lambda event, timeline: f"taken over by {timeline.called(event.person)}",
    e.BellRang: lambda event, _: f"{event.kind} bell rang, {span(event.late)} late",
    e.QuestionAsked: lambda event, _: f"asked: {event.slug} (question {event.question})",
    e.NotUnderstood: lambda event, _: f"answer not understood: {event.hint}",
    e.AnsweredTooSoon: lambda event, _: (
        f"{event.step} answered after {span(event.after)}, quicker than hands; asked about"
    ),
    e.CycleAbandoned: lambda event, _: f"cycle abandoned: {event.because}",
    e.CycleVoided: lambda event, _: f"cycle VOID: {event.because}",
    e.ReleaseWithdrawn: lambda event, _: f"release withdrawn: {event.because}",
    e.Quarantined: lambda event, _: f"{event.device} into quarantine: {event.because}",
    e.Recalled: _recalled,
    e.AlertRaised: lambda event, _: f"alert: {event.cause}, {event.subject}",
    e.ThreadEnded: lambda event, _: f"conversation over: {event.because}",
}


def _by_its_fields(event: Any, timeline: Timeline) -> str:
    told = ", ".join(
        f"{part.name.replace('_', ' ')} {_figure(getattr(event, part.name), timeline)}"
        for part in fields(event)
    )
    return f"{type(event).__name__}: {told}"


def _figure(value: Any, timeline: Timeline) -> str:
    if isinstance(value, datetime):
        return _when(timeline, value)
    if isinstance(value, timedelta):
        return span(value)
    if isinstance(value, Decimal | date):
        return str(value)
    if isinstance(value, tuple):
        return " ".join(map(str, value)) or "none"
    return "none" if value is None else str(value) or "none"
