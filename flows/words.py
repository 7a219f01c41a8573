"""The one table of command words and answers, and the words carriers keep for themselves.

Translated with the rest. Texts name a word by its slug, as a placeholder, so that what is asked
for and what is understood cannot drift apart.
"""

from collections.abc import Mapping
from types import MappingProxyType

from flows.parts.situation import Vocabulary
from flows.parts.text import Text, say

CUT_OFF = frozenset(
    {"STOP", "STOPALL", "UNSUBSCRIBE", "CANCEL", "END", "QUIT", "REVOKE", "OPTOUT", "ARRET"}
)
"""One of these alone, and the gateway sends that phone nothing more. Source: the gateway's
advanced opt-out documentation, and its list of French words."""

RESERVED = CUT_OFF | {"START", "YES", "UNSTOP", "HELP", "INFO"}
"""Words that carriers or the gateway act on themselves. Source: the same."""

COMMANDS: Mapping[str, Text] = MappingProxyType(
    {
        "clean": say("word.clean", "CLEAN"),
        "used": say("word.used", "USED"),
        "check": say("word.check", "CHECK"),
        "open": say("word.open", "OPEN"),
        "pour": say("word.pour", "POUR"),
        "mix": say("word.mix", "MIX"),
        "test": say("word.test", "TEST"),
        "discard": say("word.discard", "DISCARD"),
        "state": say("word.state", "STATE"),
        "left": say("word.left", "LEFT"),
        "fault": say("word.fault", "FAULT"),
        "spill": say("word.spill", "SPILL"),
        "splash": say("word.splash", "SPLASH"),
        "take": say("word.take", "TAKE"),
        "lift": say("word.lift", "LIFT"),
        "plan": say("word.plan", "PLAN"),
        "menu": say("word.menu", "MENU"),
        "about": say("word.about", "ABOUT"),
    }
)

ANSWERS: Mapping[str, Text] = MappingProxyType(
    {
        "ready": say("word.ready", "READY"),
        "none": say("word.none", "NONE"),
        "sound": say("word.sound", "SOUND"),
        "damaged": say("word.damaged", "DAMAGED"),
        "unsure": say("word.unsure", "UNSURE"),
        "soaped": say("word.soaped", "SOAPED"),
        "water": say("word.water", "WATER"),
        "wet": say("word.wet", "WET"),
        "wiped": say("word.wiped", "WIPED"),
        "mixed": say("word.mixed", "MIXED"),
        "under": say("word.under", "UNDER"),
        "dip": say("word.dip", "DIP"),
        "rinsed": say("word.rinsed", "RINSED"),
        "dry": say("word.dry", "DRY"),
        "tub": say("word.tub", "TUB"),
        "in": say("word.in", "IN"),
        "out": say("word.out", "OUT"),
        "again": say("word.again", "AGAIN"),
        "whole": say("word.whole", "WHOLE"),
        "flushed": say("word.flushed", "FLUSHED"),
        "dried": say("word.dried", "DRIED"),
        "good": say("word.good", "GOOD"),
        "stained": say("word.stained", "STAINED"),
        "covered": say("word.covered", "COVERED"),
        "draped": say("word.draped", "DRAPED"),
        "fresh": say("word.fresh", "FRESH"),
        "activated": say("word.activated", "ACTIVE"),
        "poured": say("word.poured", "POURED"),
        "filled": say("word.filled", "FILLED"),
        "topped": say("word.topped", "TOPPED"),
        "later": say("word.later", "LATER"),
        "empty": say("word.empty", "EMPTY"),
        "date": say("word.date", "DATE"),
        "stayed": say("word.stayed", "STAYED"),
        "moved": say("word.moved", "MOVED"),
        "lifted": say("word.lifted", "LIFTED"),
        "away": say("word.away", "AWAY"),
    }
)

DETAILS: Mapping[str, Text] = MappingProxyType(
    {
        "cold": say("word.cold", "COLD"),
        "waste": say("word.waste", "WASTE"),
        "from": say("word.from", "FROM"),
        "powder": say("word.powder", "POWDER"),
        "chlorine": say("word.chlorine", "CHLORINE"),
        "bleach": say("word.bleach", "BLEACH"),
        "examined": say("word.examined", "PATIENTS"),
        "probe": say("word.probe", "PROBES"),
        "bath": say("word.bath", "BATHS"),
        "persons": say("word.persons", "PEOPLE"),
        "basins": say("word.basins", "TUBS"),
        "each_exam": say("word.each_exam", "EXAM"),
        "tomorrow": say("word.tomorrow", "TOMORROW"),
    }
)
"""What may stand behind a command."""

WORDS: Mapping[str, Text] = MappingProxyType({**COMMANDS, **ANSWERS, **DETAILS})

ENGLISH = Vocabulary(MappingProxyType({slug: text.english for slug, text in WORDS.items()}))
