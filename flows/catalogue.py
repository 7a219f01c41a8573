"""All flows by name, and which command word opens which."""

from collections.abc import Callable, Mapping
from datetime import timedelta
from types import MappingProxyType

from flows import day_plan, menu, oversight, strip_test, use
from flows.containers import CONTAINERS
from flows.containers.at_fault import fault_of_things
from flows.containers.commands import open_command, pour_command
from flows.containers.discarded import discard
from flows.containers.mixing import mix_command
from flows.containers.standing import state
from flows.cycle import CYCLE
from flows.cycle.clean import ring_detergent
from flows.cycle.commands import clean, left, take
from flows.cycle.contact_bell import ring_contact, ring_overdue
from flows.morning.bell import MORNING, ring_morning
from flows.parts.clinic import Bell
from flows.parts.decision import Decision, joined
from flows.parts.moment import Moment
from flows.parts.reading import device_named, typed
from flows.parts.situation import Situation
from flows.parts.step import Flow

Command = Callable[[Situation, Moment], Decision]
Ringer = Callable[[Situation, Bell, timedelta], Decision]
SiteRinger = Callable[[Situation, Bell, timedelta, Moment], Decision]


def _fault(situation: Situation, moment: Moment) -> Decision:
    """S7, S13: of the tags that it tells of, and of any probe that is named.

    S8: FAULT V1? asks, and condemns nothing.
    """
    if typed(situation).asks:
        return use.asked_if_fault(situation)
    things = fault_of_things(situation, moment)
    if things is None:
        return use.fault(situation, moment)
    probes = [use.fault(situation, moment)] if device_named(situation) else []
    return joined([things, *probes])


FLOWS: Mapping[str, Flow] = MappingProxyType(
    {
        flow.name: flow
        for flow in (CYCLE, strip_test.STRIP_TEST, CONTAINERS, use.USE, oversight.OVERSIGHT)
    }
)

COMMANDS: Mapping[str, Command] = MappingProxyType(
    {
        "clean": clean,
        "used": use.used,
        "check": use.check,
        "open": open_command,
        "pour": pour_command,
        "mix": mix_command,
        "test": strip_test.command,
        "discard": discard,
        "state": state,
        "left": left,
        "fault": _fault,
        "spill": use.spill,
        "splash": use.spill,
        "take": take,
        "lift": oversight.lift,
        "plan": day_plan.plan,
        "menu": menu.menu,
        "about": menu.about,
    }
)

RINGERS: Mapping[str, Ringer] = MappingProxyType(
    {
        "detergent": ring_detergent,
        "contact": ring_contact,
        "overdue": ring_overdue,
        "strip": strip_test.ring_strip,
    }
)
"""What each kind of bell says. The nudge of an open question is the same for all: `answer`."""

SITE_RINGERS: Mapping[str, SiteRinger] = MappingProxyType({MORNING: ring_morning})
"""Bells of the site itself, of no cycle and no conversation."""

NEEDS_A_DEVICE = frozenset({"clean", "open", "pour", "mix", "test", "take", "plan"})
"""What can only be done where a device is enrolled: its model names the products."""

FACTS = frozenset({"used", "fault", "spill", "splash"})
"""S7: what is said from a phone that nobody has signed in on is kept all the same, unverified."""

FIRST_AID = frozenset({"spill", "splash"})
"""S20: answered at once, to whoever asks."""
