"""A clinic with two disinfectants: each has its jug, bottle, bath and strips."""

from datetime import date, timedelta

from flows.parts.clinic import Kind, Level
from flows.parts.events import DeviceEnrolled, JugActivated, JugOpened, Poured, StripBottleOpened
from flows.protocols.model import Selection
from tests.kit.talk import Talk, clinic, shipped_protocol

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
EXPIRES = date(2027, 3, 31)


def two_products(*, strips: bool = True, checked: bool = True) -> Talk:
    """V1 soaks in OPA, V2 in glutaral: J2, B2 and T2 hold that, S2 are its strips."""
    talk = clinic(level=Level.BRIEF)
    talk.protocols["sealed_probe"] = shipped_protocol(GLUTARAL)
    week = talk.now + timedelta(days=7)
    talk.let(
        DeviceEnrolled("V2", "sealed_probe"),
        JugOpened("J2", "ga_30", "G1", EXPIRES, talk.now, week, "maker_expiry"),
        JugActivated("J2", talk.now, week, "activated_life"),
    )
    for tag, kind, source in (("B2", Kind.BOTTLE, "J2"), ("T2", Kind.BATH, "B2")):
        talk.let(
            Poured(tag, kind, source, "ga_30", "G1", talk.now, week, "reuse_life", topped_up=False)
        )
    if strips:
        talk.let(
            StripBottleOpened(
                "S2",
                "ga_strip_18",
                "K2",
                EXPIRES,
                talk.now,
                week,
                checked=checked,
            )
        )
    return talk
