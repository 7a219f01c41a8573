"""From a decision to the next open question, over steps that need not be asked."""

from dataclasses import replace
from datetime import timedelta

from flows.answer.draft import Draft
from flows.catalogue import FLOWS
from flows.containers.behind_open import TOLD
from flows.containers.how_much import VOLUME
from flows.cycle.cut_short import cut_short
from flows.parts.clinic import Cycle, Frame, Level, Thread
from flows.parts.decision import AGAIN, DONE, Decision, Next, Opening, Saying, Turn
from flows.parts.events import CycleAbandoned, QuestionAsked, ThreadEnded
from flows.parts.situation import SINCE
from flows.parts.step import Step
from flows.parts.text import say

MOST_STEPS = 60
"""No way through the table is longer: more means that a flow runs in a ring."""


NEXT_LOOK = timedelta(minutes=5)
"""After a nudge, and once an answer can be there, somebody has this long: a bot that was down
does not nudge, tell and give up in one breath. Source: common practice, none published."""


class RunsInARingError(Exception):
    """Steps that hand on to one another for ever: a flow is malformed."""


def proceed(draft: Draft, thread: Thread, decision: Decision) -> None:
    """Let a decision happen, and go where it says."""
    draft.take(decision, thread)
    # What it set off may have sent this very thread elsewhere: a strip that voids its own cycle.
    if all(move.thread != thread.id for move in draft.moves):
        go_on(draft, thread, decision.then)
    _open(draft, decision.opens)
    settle_moves(draft)


def _open(draft: Draft, opening: Opening | None) -> None:
    if opening is None:
        return
    asked = None if opening.cycle else _asked_already(draft, opening.frames[0])
    if asked:
        go_on(draft, asked, _as_named(asked, opening.frames[0]))
        return
    thread = Thread(
        id=draft.moment.ident("thread"),
        phone=draft.phone,
        person=draft.person or "",
        frames=opening.frames,
        question=0,
        asked_at=draft.moment.now,
        cycle=opening.cycle,
    )
    land(draft, thread)


_MAY_DIFFER = frozenset({"source", "product", TOLD, VOLUME})


def _asked_already(draft: Draft, frame: Frame) -> Thread | None:
    """S10: the open question of this person here that asks just that; what it is of may differ."""
    about = {key: frame.memo[key] for key in frame.memo if key not in _MAY_DIFFER}
    return next(
        (
            each
            for each in open_here(draft, draft.phone, draft.person)
            if each.top.flow == frame.flow
            and about.items() <= each.top.memo.items()
            and _is_of_the_same(draft, each, frame)
        ),
        None,
    )


def _is_of_the_same(draft: Draft, asked: Thread, frame: Frame) -> bool:
    """S4: a question about one product is not that about another; a cleaning has its own."""
    situation = draft.situation(asked)
    wanted = frame.memo.get("product") or situation.todays.chemistry.name
    return wanted in {each.name for each in situation.protocol_here.products()}


def _as_named(asked: Thread, frame: Frame) -> Next:
    """The question again, unless something else has been named to pour from."""
    if frame.memo.items() <= asked.top.memo.items():
        return AGAIN
    return Next(Turn.GO, asked.top.step, memo=frame.memo)


def open_here(draft: Draft, phone: str, person: str | None) -> list[Thread]:
    """Conversations of that person on that phone, the one asked last in front.

    Of two that were asked at once, the one that was begun last.
    """
    threads = [*draft.clinic.threads.values()][::-1]
    mine = [each for each in threads if (each.phone, each.person) == (phone, person)]
    return sorted(mine, key=lambda each: each.asked_at, reverse=True)


def cleanings_here(draft: Draft) -> list[tuple[Thread, Cycle]]:
    """Those of them that lead a cleaning, for whoever speaks, each with its cycle."""
    here = open_here(draft, draft.phone, draft.person)
    cycles = draft.clinic.cycles
    return [(each, cycles[each.cycle]) for each in here if each.cycle and each.cycle in cycles]


def settle_moves(draft: Draft) -> None:
    """Other conversations that go somewhere because of this one.

    What is over ends first: nothing is asked any more about a cycle that is void.
    """
    while draft.moves:
        move = min(draft.moves, key=lambda each: each.then != DONE)
        draft.moves.remove(move)
        thread = draft.clinic.threads.get(move.thread)
        if thread is not None:
            go_on(draft, thread, move.then, resume=False)


def begin(draft: Draft, decision: Decision) -> None:
    """Let a command happen: it may end other threads and open one."""
    draft.take(decision)
    settle_moves(draft)
    _open(draft, decision.opens)


def go_on(draft: Draft, thread: Thread, then: Next, *, resume: bool = True) -> None:
    """Turn to the next step; nothing where the question stays as it is."""
    if then.turn is Turn.STAY:
        return
    if then.turn is Turn.AGAIN:
        ask_again(draft, thread)
        return
    moved = turned(thread, then)
    if moved is None:
        end(draft, thread, "done", resume=resume)
    else:
        land(draft, moved)


def turned(thread: Thread, then: Next) -> Thread | None:
    """The thread with its frames turned to what comes next; None where it is over."""
    *below, top = thread.frames
    memo = {**top.memo, **then.memo}
    if then.turn is Turn.GO:
        return replace(thread, frames=(*below, Frame(top.flow, then.step, memo, then.number)))
    if then.turn is Turn.CALL:
        resting = replace(top, step=then.back_to, number=None)
        since = {SINCE: top.memo[SINCE]} if SINCE in top.memo else {}
        called = Frame(then.flow, then.step, {**since, **then.memo})
        return replace(thread, frames=(*below, resting, called))
    if then.turn is Turn.RESTART:
        first, *others = thread.frames
        stand = (each for each in others if _stands(each))
        anew = Frame(first.flow, then.step, then.memo, then.number)
        return replace(thread, frames=(anew, *stand))
    if then.turn is Turn.DONE or not below:
        return None
    if then.step:
        below[-1] = replace(below[-1], step=then.step)
    return replace(thread, frames=tuple(below))


def _stands(frame: Frame) -> bool:
    step = FLOWS[frame.flow].step(frame.step)
    return step is not None and step.stands


def land(draft: Draft, thread: Thread) -> None:
    """Find the step that asks next, let what lies between happen, and put the question."""
    for _ in range(MOST_STEPS):
        step = FLOWS[thread.top.flow].step(thread.top.step)
        if step is None:
            lost(draft, thread)
            return
        passed = _passed_over(draft, thread, step)
        if passed is None:
            _ask(draft, thread, step)
            return
        draft.take(passed, thread)
        moved = turned(thread, passed.then)
        if moved is None:
            end(draft, thread, "done")
            return
        thread = moved
    raise RunsInARingError(f"{thread.top.flow}/{thread.top.step} leads nowhere but on.")


def _passed_over(draft: Draft, thread: Thread, step: Step) -> Decision | None:
    """A step that is not asked: not of somebody on brief texts, not needed now, or in vain."""
    if is_brief(draft, thread) and step.asks_brief is None:
        names = list(FLOWS[thread.top.flow].steps)
        after = names[names.index(step.name) + 1]
        return Decision(then=Next(Turn.GO, after, number=thread.number))
    situation = draft.situation(thread)
    short = cut_short(situation, draft.moment)
    if short or step.skips is None:
        return short
    return step.skips(situation, draft.moment)


def is_brief(draft: Draft, thread: Thread) -> bool:
    """Whether the person of this thread gets the evidence texts only."""
    person = draft.clinic.people.get(thread.person)
    return person is not None and person.level is Level.BRIEF


def _ask(draft: Draft, thread: Thread, step: Step) -> None:
    if step.ages:
        instead = _instead(draft, thread)
        if instead:
            land(draft, instead)
            return
        thread = _dated(draft, thread)
    situation = draft.situation(thread)
    brief = step.asks_brief if is_brief(draft, thread) else None
    text = (brief or step.asks)(situation)
    question = thread.question + 1
    wait = step.waits(situation) + NEXT_LOOK
    nudge_at = draft.moment.now + max(step.patience.nudge, wait) if step.patience else None
    asked = QuestionAsked(
        thread=thread.id,
        phone=thread.phone,
        person=thread.person,
        question=question,
        frames=thread.frames,
        slug=text.slug,
        cycle=thread.cycle,
        nudge_at=nudge_at,
        answer=_answer(draft, thread),
    )
    draft.happen(asked, thread=thread)
    draft.say(Saying(text, thread.phone, thread.id, question, bell=draft.bell))


def _instead(draft: Draft, thread: Thread) -> Thread | None:
    """S5, S10: where just that is being asked aside from any cleaning, it is gone on with here.

    Else it would be asked once more when it is done, and the second answer be a second container.
    What has become of it meanwhile is seen to as at any other step; None where nothing is asked.
    """
    for each in open_here(draft, thread.phone, thread.person):
        if each.id != thread.id and _is_about_the_same(draft, each, thread):
            draft.happen(ThreadEnded(each.id, "asked_elsewhere"), thread=each)
            return replace(thread, frames=(*thread.frames[:-1], each.top))
    return None


def _is_about_the_same(draft: Draft, asked: Thread, thread: Thread) -> bool:
    """A container of one kind and product, from the same source: at any of its steps."""
    one, other = asked.top, thread.top
    kind, source = one.memo.get("kind"), one.memo.get("source", "")
    return (
        asked.cycle is None
        and {each.flow for each in asked.frames} == {other.flow}
        and FLOWS[one.flow].step(one.step) is not None
        and kind is not None
        and (kind, source) == (other.memo.get("kind"), other.memo.get("source", ""))
        and _product_of(draft, asked) == _product_of(draft, thread)
    )


def _product_of(draft: Draft, thread: Thread) -> str:
    return draft.situation(thread).protocol_here.chemistry.name


def _dated(draft: Draft, thread: Thread) -> Thread:
    """S5: its first asking stays on its frame: put again, or elsewhere, it is no younger."""
    top = thread.top
    if top.memo.get(SINCE):
        return thread
    memo = {**top.memo, SINCE: draft.moment.now.isoformat()}
    return replace(thread, frames=(*thread.frames[:-1], replace(top, memo=memo)))


def _answer(draft: Draft, thread: Thread) -> str:
    """S10: the answer that led on, remembered by the phone that gave it and by no other."""
    return draft.answer if thread.phone == draft.phone else ""


def ask_again(draft: Draft, thread: Thread) -> None:
    """The open question once more, shorter; if it is not due any more, what is due instead."""
    step = FLOWS[thread.top.flow].step(thread.top.step)
    if step is None:
        lost(draft, thread)
        return
    lapsed = step.lapsed(draft.situation(thread), draft.moment) if step.lapsed else None
    if lapsed:
        proceed(draft, thread, lapsed)
        return
    text = step.again(draft.situation(thread))
    draft.say(Saying(text, thread.phone, thread.id, thread.question))


def end(draft: Draft, thread: Thread, because: str, *, resume: bool = True) -> None:
    """A conversation is over; one that it had interrupted is taken up again, if it goes on.

    A strip that fails in it may have voided the very cycle that it had interrupted.
    """
    draft.happen(ThreadEnded(thread.id, because, _answer(draft, thread)), thread=thread)
    waiting = [
        each
        for each in open_here(draft, thread.phone, thread.person)
        if each.cycle is None or each.cycle in draft.clinic.cycles
    ]
    if resume and waiting and not _is_sent_elsewhere(draft, waiting[0]):
        _take_up(draft, waiting[0])


def _is_sent_elsewhere(draft: Draft, thread: Thread) -> bool:
    """What was asked is about to be asked otherwise: it is not put again in between."""
    return any(move.thread == thread.id for move in draft.moves)


def _take_up(draft: Draft, thread: Thread) -> None:
    """The question again; where it only serves another, that one says whether it is still due."""
    frames = thread.frames
    while len(frames) > 1 and _is_asked_anew(frames[-1]):
        frames = frames[:-1]
    if frames == thread.frames:
        ask_again(draft, thread)
    else:
        land(draft, replace(thread, frames=_as_old(frames, thread.frames[len(frames) :])))


def _as_old(frames: tuple[Frame, ...], dropped: tuple[Frame, ...]) -> tuple[Frame, ...]:
    """S5: what was asked first in *dropped* frames is handed on to whatever is asked instead."""
    asked = [each.memo[SINCE] for each in dropped if each.memo.get(SINCE)]
    if not asked:
        return frames
    memo = {**frames[-1].memo, SINCE: min(asked)}
    return (*frames[:-1], replace(frames[-1], memo=memo))


def _is_asked_anew(frame: Frame) -> bool:
    step = FLOWS[frame.flow].step(frame.step)
    return step is not None and step.anew


def lost(draft: Draft, thread: Thread) -> None:
    """S8: its step is gone with an upgrade: the cycle is abandoned and both people are told."""
    cycle = draft.clinic.cycles.get(thread.cycle or "")
    if cycle:
        draft.happen(CycleAbandoned(cycle.id, cycle.device, "step_gone"), thread=thread)
    text = say(
        "cycle.lost",
        "I have lost the thread after an update. In doubt, clean again: {clean} and the device. "
        "Your contact is told.",
    )
    draft.say(Saying(text), thread)
    end(draft, thread, "step_gone", resume=False)
