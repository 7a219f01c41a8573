"""What falls by rule and all that is said of it: what is recalled, and what turns out unfit."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from flows.containers.come_to_hand import solution_comes, strips_come
from flows.containers.discarded import without_its_bath
from flows.containers.limits import limit
from flows.containers.pour import is_poured_in, recalled_meanwhile
from flows.containers.strips import told_in_vain
from flows.containers.topped import asks_for_its_tag
from flows.cycle.wipes import wipes_with
from flows.parts import events as e
from flows.parts.clinic import AT_HAND, Container, Fitness, Kind, Recall, StripBottle
from flows.parts.decision import BACK, Decision, Move, Saying, go
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text
from flows.rules.alerts import ALERTS
from flows.rules.found_unfit import (
    FOUND_UNFIT,
    NOT_ACTIVE,
    OF_TOPPED_UP,
    PROBE_IN_IT,
    TOPPED_UP,
    begun,
    dipped_since,
    disturbed_then,
    ends_too_soon,
    ends_with_it,
    fallen_since,
    in_doubt_with_it,
    is_source_in_doubt,
    label_anew,
    label_by_choice,
    may_be_activated,
    mixed_with_it,
    not_ready_by_it,
    over_by_choice,
    ready_no_longer,
    soaked_by,
    soaking_in,
    take_out,
    throw_away,
    topped_since,
)
from flows.rules.good_to import good_to_on_label
from flows.rules.recall import BECAUSE, FIGURE, recall_made
from flows.rules.recall import fallen as fallen_by_recall
from flows.rules.recall_words import do_not_use, no_longer_ready, title_of
from flows.rules.shorter_lives import shorter_lives
from flows.rules.soak import is_out
from flows.rules.strip import is_judging, passed_in_vain, same_liquid
from flows.rules.twins import ends_no_later


def alert(situation: Situation, cause: str, subject: str, moment: Moment) -> Decision:
    """Raise an alert and tell the supervisors, but not the one who has just told it."""
    raised = e.AlertRaised(moment.ident(f"alert/{cause}/{subject}"), cause, subject)
    text = ALERTS[cause].tells(subject)
    says = tuple(
        Saying(text, to=phone)
        for phone in situation.supervisors()
        if phone != situation.phone.id and not _is_about_itself(situation, cause, phone)
    )
    return Decision(events=(raised,), says=says)


def _is_about_itself(situation: Situation, cause: str, phone: str) -> bool:
    """To tell a phone that it cannot be reached would fail, and be told to it, for ever."""
    known = situation.clinic.phones[phone]
    return cause in {"unreachable", "opted_out"} and (not known.reachable or known.opted_out)


# -- recalled -----------------------------------------------------------------------------------


def recalled(situation: Situation, event: e.Recalled, moment: Moment) -> Decision:
    """S18: the facts and the case in one transaction; said again, it changes nothing."""
    recall = recall_made(event, situation.clinic)
    if recall is None:
        return Decision()
    events = fallen_by_recall(situation, event, recall, moment.ident("case/recall"))
    subject = title_of(recall) if recall.what == FIGURE else recall.mark
    told = alert(situation, _cause(recall, events), subject, moment)
    kinds = e.ContainerCondemned | e.ContainerHeld
    fell = {each.tag: type(each) for each in events if isinstance(each, kinds)}
    tags = [tag for tag in fell if tag in situation.clinic.containers]
    held = [tag for tag in tags if fell[tag] is e.ContainerHeld]
    says = (*_told_of_recall(situation, recall, events, tags), *_poured_in_vain(situation, tags))
    return Decision(
        (*events, *told.events), (*told.says, *says), moves=_without(situation, tags, held)
    )


def _cause(recall: Recall, events: tuple[e.Event, ...]) -> str:
    """What supervisors hear is void, is so: what is of it may have been in no cycle so far."""
    if any(isinstance(each, e.CycleVoided) for each in events):
        return BECAUSE[recall.what]
    what = "figure" if recall.what == FIGURE else "recalled"
    return f"{what}_none_void" if events else f"{what}_not_here"


def _told_of_recall(
    situation: Situation, recall: Recall, events: tuple[e.Event, ...], tags: list[str]
) -> tuple[Saying, ...]:
    """Supervisors have had their own words; that a device is not ready any more must arrive."""
    phones, supervisors = situation.clinic.phones, situation.supervisors()
    text = do_not_use(recall, tags)
    says = tuple(Saying(text, to=phone) for phone in phones if phone not in supervisors)
    labels = [each.device for each in events if isinstance(each, e.ReleaseWithdrawn)]
    if not labels:
        return says
    withdrawn, bell = no_longer_ready(recall, labels), f"{recall.id}.withdrawn"
    return (*says, *(Saying(withdrawn, to=phone, bell=bell) for phone in phones))


def _without(
    situation: Situation, tags: Sequence[str], held: Sequence[str] = ()
) -> tuple[Move, ...]:
    """Whoever was about to test or to pour what has fallen is led on without it.

    S4: a good strip that is dipped in what is *held* is the very one that it waits for.
    """
    clinic = situation.clinic
    return tuple(
        Move(thread.id, BACK)
        for thread in clinic.threads.values()
        if {thread.top.memo.get("container"), thread.top.memo.get("source")} & {*tags}
        and not asks_for_its_tag(thread)
        and not (thread.top.memo.get("container") in held and is_judging(clinic, thread))
    )


def _poured_in_vain(situation: Situation, tags: list[str]) -> tuple[Saying, ...]:
    """S6, S18: whoever is pouring from it has a container full that no record knows."""
    return tuple(
        Saying(recalled_meanwhile(tag), to=thread.phone)
        for thread in situation.clinic.threads.values()
        for tag in tags
        if is_poured_in(thread, tag)
    )


# -- turned out unfit ---------------------------------------------------------------------------


def activated(situation: Situation, event: e.JugActivated, moment: Moment) -> Decision:
    """S1, S5: what was poured before its day was told ends with it, what was wiped late falls.

    So does what may be that jug, and had been told of as activated later.
    """
    comes = solution_comes(situation, event, moment)
    jug = situation.clinic.containers.get(event.tag)
    since = max(jug.discard_by, begun(jug)) if jug else moment.now
    fell = _found_unfit(situation, (event.tag,), since, event.tag, moment)
    twins = ends_no_later(situation.clinic, jug, event) if jug else ()
    told = may_be_activated(event.tag, listed([each.tag for each in twins]))
    says = (*comes.says, *fell.says, *(_to_all(situation, told) if twins else ()))
    events = (*fell.events, *ends_with_it(situation.clinic, event.tag), *twins)
    return replace(comes, events=events, says=says)


def shortened(situation: Situation, event: e.LifeShortened, moment: Moment) -> Decision:
    """S1, S5: whatever went by it past its time falls, what was poured from it ends with it."""
    clinic, tag = situation.clinic, event.tag
    one = clinic.strips.get(tag) or clinic.containers.get(tag)
    if one is None:
        return Decision()
    since = max(one.discard_by, begun(one))
    fallen_ = _found_unfit(situation, (tag,), since, tag, moment)
    vain = _passed_in_vain(situation, tag, since, fallen_.events, moment)
    ends = ends_with_it(clinic, tag, chosen=event.chosen)
    events = (*fallen_.events, *vain.events, *ends)
    is_over = one.discard_by <= moment.now
    is_here = one.fitness in AT_HAND
    text = _told_of_its_end(situation, one, event, is_over=is_over)
    says = (*fallen_.says, *vain.says, *(_to_all(situation, text) if is_here else ()))
    still_in = _still_in(situation, one, fallen_.events, moment)
    if not is_over:
        return Decision(events=events, says=(*says, *still_in))
    moves = wipes_without(situation, event, moment).moves
    return Decision(events=events, says=(*says, *still_in), moves=moves)


def by_todays_figures(situation: Situation, moment: Moment) -> Decision:
    """S5: nothing here is good for longer than today's figures allow, whoever has changed them."""
    models = {each.model for each in situation.clinic.devices.values()}
    products = {each.name: each for model in models for each in situation.today(model).products()}
    shorter = [
        each
        for name in sorted(products)
        for each in shorter_lives(situation.clinic, products[name], situation.zone, moment.now)
    ]
    return Decision(events=tuple(shorter))


def _told_of_its_end(
    situation: Situation, one: Container | StripBottle, event: e.LifeShortened, *, is_over: bool
) -> Text:
    """What to do with it, and whether its date was wrong or the site has made its life shorter."""
    if is_over:
        return over_by_choice(one.tag) if event.chosen else throw_away(listed([one.tag]))
    anew = label_by_choice if event.chosen else label_anew
    ends = good_to_on_label(one.discard_by, situation.zone)
    return anew(one, ends, limit(one.because))


def _still_in(
    situation: Situation,
    one: Container | StripBottle,
    events: tuple[e.Event, ...],
    moment: Moment,
) -> tuple[Saying, ...]:
    """S4: a device in a bath that does not last its soak; of a void cycle it is said with that."""
    void = {each.cycle for each in events if isinstance(each, e.CycleVoided)}
    soaking = soaking_in(situation.clinic, one.tag)
    text = take_out if one.discard_by <= moment.now else ends_too_soon
    devices = {
        each.id: each.device
        for each in soaking
        if each.contact
        and not is_out(situation.clinic, each)
        and one.discard_by <= max(each.contact.due, moment.now)
    }
    return tuple(
        Saying(text(devices[thread.cycle], one.tag), to=thread.phone)
        for thread in situation.clinic.threads.values()
        if thread.cycle in devices and thread.cycle not in void
    )


def _passed_in_vain(
    situation: Situation,
    tag: str,
    since: datetime,
    fell: tuple[e.Event, ...],
    moment: Moment,
) -> Decision:
    """S4: what strips past their date had passed, or had cleared and has failed meanwhile."""
    tests = dipped_since(situation, frozenset({tag}), since)
    if not tests:
        return Decision()
    known = {each.cycle for each in fell if isinstance(each, e.CycleVoided)}
    case = moment.ident(f"case/strips/{tag}")
    events = passed_in_vain(situation.clinic, tag, tests, case, known)
    return Decision(events, told_in_vain(situation, tag, events, moment))


def strips_checked(situation: Situation, event: e.StripsChecked, moment: Moment) -> Decision:
    """S4: what went by strips that fail their control falls, as it does by a recall of them."""
    bottle = situation.clinic.strips.get(event.tag)
    if event.passed or bottle is None:
        return strips_come(situation, event, moment)
    case = moment.ident(f"case/control/{event.tag}")
    events = soaked_by(situation, event.tag, bottle.opened, case)
    return _told_of(situation, events, event.tag, moment)


def condemned(situation: Situation, event: e.ContainerCondemned, moment: Moment) -> Decision:
    """S1, S8: of what may never have been active, all that was poured is as doubtful.

    Whoever is not sure of a jug hears so in the answer; that something was poured from it inactive
    turns out elsewhere, and is told with the rest.
    """
    moves = wipes_without(situation, event, moment).moves
    if event.because == TOPPED_UP and asks_for_its_tag(situation.thread):
        topped = _topped_up(situation, event.tag, moment)
        return replace(topped, moves=(*moves, *topped.moves))
    if not is_source_in_doubt(situation.clinic, event):
        return Decision(moves=moves)
    liquid = same_liquid(situation.clinic, event.tag)
    with_it = [each.tag for each in in_doubt_with_it(situation.clinic, event.tag)]
    bad = tuple(e.ContainerCondemned(tag, event.because) for tag in with_it)
    is_new = event.because == NOT_ACTIVE and liquid[0].fitness is Fitness.CONDEMNED
    tags = [event.tag, *with_it] if is_new else with_it
    all_of_it = tuple(each.tag for each in liquid)
    fallen_ = _found_unfit(situation, all_of_it, liquid[0].since, event.tag, moment)
    told = _to_all(situation, throw_away(listed(tags))) if tags else ()
    says = (*fallen_.says, *told, *_poured_in_vain(situation, tags))
    moves = (*moves, *_without(situation, tags))
    return Decision(events=(*bad, *fallen_.events), says=says, moves=moves)


def stock_spoilt(situation: Situation, event: e.PutInBath) -> Decision:
    """S3: what is no bath and had a probe in it is poured, wiped with and tested no more.

    Whoever tells it hears in the answer that nothing is poured from it.
    """
    tag = event.bath
    stock = situation.clinic.containers.get(tag)
    if stock is None or stock.kind is Kind.BATH or stock.fitness not in AT_HAND:
        return Decision()
    here = situation.thread.id if situation.thread else ""
    told = _to_all(situation, throw_away(listed([tag])))
    others = (each for each in told if each.to != situation.phone.id)
    return Decision(
        events=(e.ContainerCondemned(tag, PROBE_IN_IT),),
        says=(*others, *_poured_in_vain(situation, [tag])),
        moves=tuple(each for each in _without(situation, [tag]) if each.thread != here),
    )


def disturbed_late(situation: Situation, event: e.PutInBath, moment: Moment) -> Decision:
    """S21: what soaked there when it was put in falls, though it is heard of only now."""
    case = moment.ident(f"case/disturbed/{event.bath}")
    events = disturbed_then(situation, event, situation.sent_at or moment.now, case)
    return _told_of(situation, events, event.bath, moment)


def _topped_up(situation: Situation, tag: str, moment: Moment) -> Decision:
    """S4, S6: what went by it since somebody was asked to pour falls, and what was poured from it.

    Whoever tells its tag hears in the answer that it is not for use.
    """
    clinic, since = situation.clinic, situation.first_asked
    with_it = mixed_with_it(situation, tag, since)
    here = [each for each in with_it if each in clinic.containers]
    bad = [each for each in here if clinic.containers[each].fitness in AT_HAND]
    case = moment.ident(f"case/topped/{tag}")
    events = topped_since(situation, frozenset({tag, *with_it}), since, case, tag)
    fell, tags = _told_of(situation, events, tag, moment), [tag, *bad]
    text = throw_away(listed(tags))
    told = (each for each in _to_all(situation, text) if bad or each.to != situation.phone.id)
    condemned_ = (e.ContainerCondemned(each, OF_TOPPED_UP) for each in bad)
    led_on = (move for each in tags for move in without_its_bath(situation, each))
    return Decision(
        events=(*condemned_, *fell.events),
        says=(*fell.says, *told, *_poured_in_vain(situation, tags)),
        # A strip that is dipped still says what its bath was before.
        moves=(*_without(situation, tags, held=tags), *led_on),
    )


def _found_unfit(
    situation: Situation, tags: tuple[str, ...], since: datetime, subject: str, moment: Moment
) -> Decision:
    """S18: what rests on it falls, and everybody hears so; nothing where nothing does."""
    case = moment.ident(f"case/unfit/{subject}")
    events = fallen_since(situation, frozenset(tags), since, case, subject)
    return _told_of(situation, events, subject, moment)


def _told_of(
    situation: Situation, events: tuple[e.Event, ...], subject: str, moment: Moment
) -> Decision:
    if not events:
        return Decision()
    told = alert(situation, FOUND_UNFIT, subject, moment)
    labels = [each.device for each in events if isinstance(each, e.ReleaseWithdrawn)]
    bell = f"{subject}.{moment.ident('unfit')}" if labels else None
    text = ready_no_longer(subject, labels) if labels else not_ready_by_it(subject)
    says = (*told.says, *(replace(each, bell=bell) for each in _to_all(situation, text)))
    return Decision(events=(*events, *told.events), says=says)


def _to_all(situation: Situation, text: Text) -> tuple[Saying, ...]:
    return tuple(Saying(text, to=phone) for phone in situation.clinic.phones)


def wipes_without(
    situation: Situation,
    event: e.ContainerHeld | e.ContainerCondemned | e.ContainerDiscarded | e.LifeShortened,
    _: Moment,
) -> Decision:
    """S4, S5: whoever was about to wipe handle and cable with it is led on without it."""
    clinic = situation.clinic
    threads = clinic.threads.values()
    return Decision(
        moves=tuple(
            Move(each.id, go(each.top.step))
            for each in threads
            if wipes_with(clinic, each, event.tag)
        )
    )
