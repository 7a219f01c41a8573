"""An answer that was not understood: what is asked back of each kind of slip (S17)."""

from collections.abc import Mapping
from types import MappingProxyType

from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.lots import NAMED
from flows.strip_test.in_words import FAILS, if_it_looks_so


def asked_back(why: NotUnderstood) -> Text | None:
    """A slip that has an obvious meaning is asked back, never taken."""
    if why.hint == "near" and why.near:
        return near(why.near)
    if why.hint == "unit" and why.value is not None:
        return say(
            "hearing.unit",
            "C or F? If it was F, that is {celsius} C. Reply again with C or F behind the number.",
            celsius=why.value,
        )
    if why.near:
        return if_it_looks_so(why.near) if why.hint == FAILS else _of_a_lot(why)
    if why.hint == "ambiguous" and why.dates:
        first, second = (*why.dates, why.dates[0])[:2]
        return say(
            "hearing.two_dates",
            "Is that {expiry} or {other_expiry} (year-month-day)? Please reply with the right "
            "one, written like that.",
            expiry=first.isoformat(),
            other_expiry=second.isoformat(),
        )
    if why.hint == "no such date" and why.dates:
        return say(
            "hearing.no_such_day",
            "That cannot be. That month ends on {day}. Please look again and write year, month, "
            "day, like 270331.",
            day=why.dates[0],
        )
    return _ASKED_BACK.get(why.hint)


_NUMBER = say(
    "hearing.number",
    "The number in my last text is missing or another. Please reply with that number.",
)
_ASKED_BACK: Mapping[str, Text] = MappingProxyType(
    {
        "impossible": say(
            "hearing.impossible", "That cannot be. Please look again and reply once more."
        ),
        "rough": say(
            "hearing.rough",
            "One number, please, as the thermometer shows it: not about, under or over. Read it "
            "again and send the text once more.",
        ),
        "no such date": say(
            "hearing.no_such_date",
            "That cannot be. Please look again and write year, month, day, like 270331.",
        ),
        "year": say(
            "hearing.year",
            "I am not sure of the year. Please write year, month, day, like 270331; or a month "
            "with its whole year, like mar 2027.",
        ),
        "letter": say(
            "hearing.letter",
            "I see a letter O among the figures. Is it a nought? Please send it again with "
            "figures only.",
        ),
        "band": say(
            "hearing.band",
            "Under, about or from-to is no strength, and no strip would show it. One number from "
            "its label, please, like 5% 2 L. None on it? Not for this: ask your contact.",
        ),
        "day": say("hearing.day", "Which day of it? Please send the whole date, like 31 mar 26."),
        "far": say(
            "hearing.far",
            "That is 10 years away or more. Which year is it? Please look again, like 31 mar 27.",
        ),
        "bell number": _NUMBER,
        "wrong number": _NUMBER,
    }
)


def _of_a_lot(why: NotUnderstood) -> Text:
    """S18: a lot that was misread is never recalled: what is not clear is never taken for it."""
    if why.hint == "taken":
        return say(
            "hearing.lot.taken",
            "{label} is a name in use here, and no lot. The lot was printed by its maker: please "
            "send that; {none} if it has none or cannot be read.",
            label=why.near,
        )
    if why.hint == "lot":
        return say(
            "hearing.lot.alone",
            "Is {lot} its lot, and all of it? Then reply {word} {lot}. Else send it alone, "
            "letters and figures only; {none} if it has none or cannot be read.",
            lot=why.near,
            word=NAMED,
        )
    if why.dates:
        return say(
            "hearing.lot.date",
            "Is its lot {lot}? Then reply {word} {lot}. And is {expiry} its expiry, other than I "
            "noted? Reply {date}, and I ask for it again.",
            lot=why.near,
            word=NAMED,
            expiry=why.dates[0].isoformat(),
        )
    return say(
        "hearing.lot",
        "Is {lot} its lot number? Then reply {word} {lot}. Is it a date? Reply {date}, and "
        "I ask for the expiry again.",
        lot=why.near,
        word=NAMED,
    )


def near(word: str) -> Text:
    """One letter wrong, or cut short: it is never taken for what it nearly is."""
    return say(
        "hearing.near",
        "Did you mean {word}? If so, text it again with {word}, and the number if there is one.",
        word=word,
    )
