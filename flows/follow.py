"""What an event sets off by rule: alerts, look-back, releases that lapse. Same transaction."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any

from flows.containers.come_to_hand import solution_comes, solution_passed, strips_come
from flows.containers.discarded import without_its_bath
from flows.containers.one_life import held_for_a_strip
from flows.containers.other_label import ABOUT as LABEL
from flows.containers.pour import gone_meanwhile as poured_out
from flows.containers.pour import is_poured_in
from flows.cycle.contact_bell import ring_elsewhere
from flows.cycle.left_in import take_it_out
from flows.cycle.spoken_for import another_was_in
from flows.fallen import (
    activated,
    alert,
    by_todays_figures,
    condemned,
    disturbed_late,
    recalled,
    shortened,
    stock_spoilt,
    strips_checked,
    wipes_without,
)
from flows.morning.bell import MORNING, hung
from flows.parts import events as e
from flows.parts.clinic import Role, Thread
from flows.parts.decision import DONE, Decision, Move, Saying, restart
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules import strip_words
from flows.rules.alerts import TOLD_LATE
from flows.rules.failed_after_all import in_doubt
from flows.rules.found_unfit import (
    FOUND_UNFIT,
    not_ready_by_it,
    void_by_it,
)
from flows.rules.recall_words import (
    this_cleaning_is_void,
)
from flows.rules.strip import FAIL, MAY_BE_TOPPED, fallen
from flows.rules.twins import held_with
from flows.strip_test.words import gone_meanwhile as strip_gone
from flows.use import ABOUT as USE

WORTH_TELLING = timedelta(minutes=1)
"""So much moves no date that anybody has written down. Source: own rule, none published."""

Follows = Callable[[Situation, Any, Moment], Decision]


def follow(situation: Situation, event: e.Event, moment: Moment) -> Decision:
    """What *event*, which has just happened, leads to; nothing for most."""
    reaction = _FOLLOWS.get(type(event))
    return reaction(situation, event, moment) if reaction else Decision()


def _threads_of(situation: Situation, cycles: tuple[str, ...]) -> list[Thread]:
    return [each for each in situation.clinic.threads.values() if each.cycle in cycles]


# -- solutions ----------------------------------------------------------------------------------


def _strip_read(situation: Situation, event: e.StripRead, moment: Moment) -> Decision:
    """S4: the facts and the case in one transaction; the site's phones are told at once."""
    if event.outcome != FAIL:
        return solution_passed(situation, event, moment)
    after_all = in_doubt(situation, event)
    consequences = fallen(situation.clinic, event, moment.ident("case/strip"), after_all)
    if not consequences:
        return Decision()
    kinds = e.ContainerCondemned | e.ContainerHeld
    fell = {each.tag for each in consequences if isinstance(each, kinds)}
    consequences = (*consequences, *held_with(situation.clinic, fell))
    is_gone = after_all is not None and not after_all.is_here
    told = alert(situation, FOUND_UNFIT if is_gone else "strip_failed", event.container, moment)
    not_ready = not_ready_by_it if is_gone else strip_words.do_not_use
    says = _told_of_fail(situation, event, consequences, not_ready(event.container))
    return Decision(events=(*consequences, *told.events), says=(*says, *told.says))


def _told_of_fail(
    situation: Situation, read: e.StripRead, events: tuple[e.Event, ...], not_ready: Text
) -> tuple[Saying, ...]:
    """Whoever has read it hears of it in the answer; of what falls with it everybody hears."""
    tag, phones = read.container, situation.clinic.phones
    others = (phone for phone in phones if phone != situation.phone.id)
    says = [Saying(not_ready, to=phone) for phone in others]
    held = [each.tag for each in events if isinstance(each, e.ContainerHeld)]
    if held:
        says += [Saying(strip_words.on_hold(tag, held), to=phone) for phone in phones]
    labels = [each.device for each in events if isinstance(each, e.ReleaseWithdrawn)]
    if labels:
        withdrawn, bell = strip_words.no_longer_ready(tag, labels), f"{read.test}.withdrawn"
        says += [Saying(withdrawn, to=phone, bell=bell) for phone in phones]
    return tuple(says)


def _voided(situation: Situation, event: e.CycleVoided, _: Moment) -> Decision:
    """A cycle that is still running ends there; whoever is at it is told why."""
    moves, says = [], []
    for thread in _threads_of(situation, (event.cycle,)):
        text = _why_void(event)
        moves.append(Move(thread.id, DONE))
        says.append(Saying(text, to=thread.phone, bell=f"{event.cycle}.voided"))
    return Decision(says=tuple(says), moves=tuple(moves))


def _why_void(event: e.CycleVoided) -> Text:
    if event.because == FOUND_UNFIT:
        return void_by_it(event.device)
    return this_cleaning_is_void(event.because, event.device) or say(
        "cycle.voided",
        "{device}: its disinfectant failed its strip. This cleaning does not count. Take it "
        "out, do not use it. Begin again with another: {clean} {device}.",
        device=event.device,
    )


def _discarded(situation: Situation, event: e.ContainerDiscarded, moment: Moment) -> Decision:
    """S18: what is recalled leaves on the supervisor's word; told by others it is asked about."""
    role = situation.person.role if situation.person else None
    moves = wipes_without(situation, event, moment).moves
    says = _gone_meanwhile(situation, event.tag)
    if not event.because or role is Role.SUPERVISOR:
        return Decision(says=says, moves=moves)
    told = alert(situation, "recalled_gone", event.tag, moment)
    return replace(told, says=(*told.says, *says), moves=moves)


def _gone_meanwhile(situation: Situation, tag: str) -> tuple[Saying, ...]:
    """S4, S6: whoever else is pouring from it, or has a strip in it, hears so at once."""
    person = situation.person.id if situation.person else ""
    others = [
        each
        for each in situation.clinic.threads.values()
        if (each.phone, each.person) != (situation.phone.id, person)
    ]
    pouring = [Saying(poured_out(tag), each.phone) for each in others if is_poured_in(each, tag)]
    testing = [
        Saying(strip_gone(tag, each), each.phone)
        for each in others
        if each.top.flow == "strip_test" and each.top.memo.get("container") == tag
    ]
    return (*pouring, *testing)


def _held(situation: Situation, event: e.ContainerHeld, moment: Moment) -> Decision:
    moves = wipes_without(situation, event, moment).moves
    if event.because == MAY_BE_TOPPED:
        others = (each for each in situation.clinic.phones if each != situation.phone.id)
        says = tuple(Saying(held_for_a_strip(event.tag), to=each) for each in others)
        return Decision(says=says, moves=(*moves, *without_its_bath(situation, event.tag)))
    if event.because != "no_result":
        return Decision(moves=moves)
    return replace(alert(situation, "second_no_result", event.tag, moment), moves=moves)


# -- cycles and devices -------------------------------------------------------------------------


def _abandoned(situation: Situation, event: e.CycleAbandoned, moment: Moment) -> Decision:
    """Damage and faults have an alert of their own; whoever is at it hears that it is over."""
    says = _stop_here(situation, event)
    if situation.clinic.devices[event.device].standing == "quarantined":
        return Decision(says=says)
    told = alert(situation, "abandoned", event.device, moment)
    return Decision(events=told.events, says=(*says, *told.says))


def _stop_here(situation: Situation, event: e.CycleAbandoned) -> tuple[Saying, ...]:
    """S8: a text on another phone has contradicted the cycle: it is heard where work goes on."""
    if situation.thread is not None:
        return ()
    text = say(
        "cycle.contradicted",
        "{device}: stop here. A fault or a use was told from another phone: this cleaning does "
        "not count. {device} is NOT READY.",
        device=event.device,
    )
    return tuple(
        Saying(text, to=thread.phone, bell=f"{event.cycle}.contradicted")
        for thread in _threads_of(situation, (event.cycle,))
        if thread.phone != situation.phone.id
    )


def _quarantined(situation: Situation, event: e.Quarantined, moment: Moment) -> Decision:
    """S13: and the patients since the last passed inspection are looked back for (S18)."""
    told = alert(situation, "quarantined", event.device, moment)
    since = situation.clinic.devices[event.device].inspected_at
    case = e.CaseOpened(
        moment.ident(f"case/{event.device}"), "device_failed", event.device, since, ()
    )
    return Decision(events=(*told.events, case), says=told.says)


def _case_opened(situation: Situation, event: e.CaseOpened, moment: Moment) -> Decision:
    """S18: other causes have told their alert with whatever has failed."""
    if event.cause != TOLD_LATE:
        return Decision()
    return alert(situation, TOLD_LATE, event.subject, moment)


def _taken_out(situation: Situation, event: e.TakenOut, moment: Moment) -> Decision:
    if not event.over_maximum:
        return Decision()
    return alert(situation, "over_soaked", event.device, moment)


def _used(
    situation: Situation, event: e.DeviceUsed | e.UseWithoutCode, moment: Moment
) -> Decision:
    """S7: a use of what was not released is critical, and a look-back begins with it."""
    if event.ready:
        return Decision()
    told = alert(situation, "used_not_ready", event.device, moment)
    case = e.CaseOpened(
        moment.ident(f"case/used/{event.device}"), "used_not_ready", event.device, moment.now, ()
    )
    return Decision(events=(*told.events, case), says=told.says)


def _restarted(situation: Situation, event: e.CleaningRestarted, moment: Moment) -> Decision:
    """S21: the device whose bath was disturbed begins again, and its own phone is told.

    S12: after too long a soak with its inspection, and the supervisor hears of it.
    """
    over = alert(situation, "over_soaked", event.device, moment)
    told = over if event.inspect_again else Decision()
    here = situation.thread.id if situation.thread else ""
    others = [each for each in _threads_of(situation, (event.cycle,)) if each.id != here]
    text, bell = _disturbed(event), f"{event.cycle}.disturbed"
    then = restart("inspect" if event.inspect_again else "wipe_detergent")
    return Decision(
        events=told.events,
        says=(*told.says, *(Saying(text, to=each.phone, bell=bell) for each in others)),
        moves=tuple(Move(each.id, then) for each in others),
    )


def _put_in(situation: Situation, event: e.PutInBath, moment: Moment) -> Decision:
    """S3, S4: no bath is what it was before; what is no bath is for nothing any more."""
    bath, stock = another_was_in(situation, event, moment), stock_spoilt(situation, event)
    late = disturbed_late(situation, event, moment)
    return Decision(
        events=(*stock.events, *late.events),
        says=(*bath.says, *stock.says, *late.says),
        moves=(*bath.moves, *stock.moves),
    )


def _disturbed(event: e.CleaningRestarted) -> Text:
    if event.because == MAY_BE_TOPPED:
        return say(
            "cycle.disturbed.topped",
            "{device}: its bath may have been topped up, so this soak does not count. Take "
            "{device} out, it must be cleaned from the start.",
            device=event.device,
        )
    return say(
        "cycle.disturbed",
        "{device}: another probe was put in its bath. If {device} is still in it, take it out. It "
        "must be cleaned from the start.",
        device=event.device,
    )


# -- the site -----------------------------------------------------------------------------------


def _morning_moved(situation: Situation, _: e.Event, moment: Moment) -> Decision:
    """The morning text hangs from the first device on, where the site's own clock wants it."""
    return Decision(events=hung(situation, moment.now))


def _begun(situation: Situation, _: e.CycleBegan, moment: Moment) -> Decision:
    """S5: a new release of the program may have made a figure shorter since the last cycle."""
    return by_todays_figures(situation, moment)


def _rang(situation: Situation, event: e.BellRang, moment: Moment) -> Decision:
    """S5: what the morning text calls good is so by the figures of this morning."""
    return by_todays_figures(situation, moment) if event.kind == MORNING else Decision()


def _clock_stepped(situation: Situation, event: e.ClockStepped, moment: Moment) -> Decision:
    """S5: a clock put back has made labels that say a later date than counts now."""
    if event.step > -WORTH_TELLING:
        return Decision()
    told = alert(situation, "clock_back", "", moment)
    return replace(told, events=(*told.events, *hung(situation, moment.now)))


# -- phones -------------------------------------------------------------------------------------


def _undelivered(situation: Situation, event: e.TextUndelivered, moment: Moment) -> Decision:
    """S12: a bell that cannot reach its phone rings on another one."""
    told = alert(situation, "unreachable", event.phone, moment)
    return Decision(events=told.events, says=(*told.says, *_rung_elsewhere(situation, event)))


def _opted_out(situation: Situation, event: e.PhoneOptedOut, moment: Moment) -> Decision:
    told = alert(situation, "opted_out", event.phone, moment)
    return Decision(events=told.events, says=(*told.says, *_rung_elsewhere(situation, event)))


def _rung_elsewhere(
    situation: Situation, event: e.TextUndelivered | e.PhoneOptedOut
) -> tuple[Saying, ...]:
    cycles = [
        situation.clinic.cycles[thread.cycle or ""]
        for thread in situation.clinic.threads.values()
        if thread.phone == event.phone and thread.cycle in situation.clinic.cycles
    ]
    return tuple(
        saying
        for cycle in cycles
        if cycle.contact and cycle.contact.rung
        for saying in ring_elsewhere(situation, cycle, cycle.contact, f"{cycle.id}.contact")
    )


def _wrong_pin(situation: Situation, event: e.WrongPin, moment: Moment) -> Decision:
    if event.locked_until is None:
        return Decision()
    return alert(situation, "locked", event.phone, moment)


def _unverified(situation: Situation, event: e.UnverifiedFact, moment: Moment) -> Decision:
    named = {**situation.clinic.devices, **situation.clinic.containers, **situation.clinic.strips}
    cause = "unverified_about" if event.about in named else "unverified"
    return alert(situation, cause, event.about, moment)


_IN_DOUBT = {LABEL: "label_in_doubt", USE: "use_in_doubt"}


def _free_text(situation: Situation, event: e.FreeText, moment: Moment) -> Decision:
    """S7: said of a device that is not known here, of a label or a use: kept and told."""
    for about, cause in _IN_DOUBT.items():
        if event.about.startswith(about):
            return alert(situation, cause, event.about.removeprefix(about), moment)
    if event.about != "unknown_device":
        return Decision()
    return alert(situation, "unknown_device", "", moment)


def _spill(situation: Situation, event: e.SpillReported, moment: Moment) -> Decision:
    return alert(situation, "spill", event.what, moment)


def _text_failed(situation: Situation, event: e.TextFailed, moment: Moment) -> Decision:
    return alert(situation, "text_failed", event.inbound, moment)


_FOLLOWS: Mapping[type[e.Event], Follows] = {
    e.JugOpened: solution_comes,
    e.JugActivated: activated,
    e.LifeShortened: shortened,
    e.Poured: solution_comes,
    e.StripBottleOpened: strips_come,
    e.StripsChecked: strips_checked,
    e.StripRead: _strip_read,
    e.CycleVoided: _voided,
    e.Recalled: recalled,
    e.ContainerHeld: _held,
    e.ContainerCondemned: condemned,
    e.ContainerDiscarded: _discarded,
    e.CycleAbandoned: _abandoned,
    e.Quarantined: _quarantined,
    e.TakenOut: _taken_out,
    e.CaseOpened: _case_opened,
    e.SoakBroken: take_it_out,
    e.DeviceUsed: _used,
    e.UseWithoutCode: _used,
    e.CleaningRestarted: _restarted,
    e.PutInBath: _put_in,
    e.TextUndelivered: _undelivered,
    e.PhoneOptedOut: _opted_out,
    e.WrongPin: _wrong_pin,
    e.UnverifiedFact: _unverified,
    e.FreeText: _free_text,
    e.SpillReported: _spill,
    e.ClockStepped: _clock_stepped,
    e.CycleBegan: _begun,
    e.BellRang: _rang,
    e.SiteOpened: _morning_moved,
    e.SiteChoiceMade: _morning_moved,
    e.DeviceEnrolled: _morning_moved,
    e.TextFailed: _text_failed,
}
