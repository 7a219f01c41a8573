"""No word is set in the code: whole cycles in the pseudo-language, and in words never seen before.

A player types the words that a vocabulary has; it knows the steps and no text.
"""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.store.transaction import Store
from bot.texts.catalogue import PSEUDO
from bot.texts.render import Renderer
from bot.texts.segments import segments
from flows.parts.clinic import Level, Standing, Thread
from flows.parts.events import Event, NotUnderstood, PersonEnrolled, Released, SiteOpened
from flows.parts.situation import Vocabulary
from flows.parts.text import Text
from flows.words import ENGLISH, RESERVED, WORDS
from tests.kit.cycles import A_MOMENT_S, ANSWERS, HANDS_NEED_S, WARM_ENOUGH
from tests.kit.shell import (
    ANN,
    ELLA,
    NAMES,
    NINE,
    SET_UP,
    SHARED,
    SITE,
    Shell,
    bare_shell,
    register,
)

SLUGS = {word: slug for slug, word in ENGLISH.words.items()}
MOST_QUESTIONS = 60


def clinic(store: Store, language: str, level: Level, **parts: Any) -> Shell:
    """The usual clinic, whose people read *language*."""
    made = bare_shell(store, HandClock(NINE), WebPhone(), **parts)
    made.exchange.set_up(SITE, [_read_in(each, language, level) for each in SET_UP], register)
    return made


def _read_in(event: Event, language: str, level: Level) -> Event:
    if isinstance(event, PersonEnrolled):
        return replace(event, language=language, level=level)
    return replace(event, language=language) if isinstance(event, SiteOpened) else event


def spoken(english: str, words: Vocabulary) -> str:
    """What somebody types who knows the words of one vocabulary only."""
    typed = english.upper().split()
    return " ".join(words.word(SLUGS[each]) if each in SLUGS else each for each in typed)


def play(bot: Shell, words: Vocabulary) -> None:
    """V1 from CLEAN to its release, on Ann's phone."""
    bot.sends(ANN, spoken("clean v1", words))
    for _ in range(MOST_QUESTIONS):
        thread = next((each for each in bot.clinic.threads.values() if each.cycle), None)
        if thread is None:
            return
        step = thread.top.step
        bot.wait(timedelta(seconds=HANDS_NEED_S.get(step, A_MOMENT_S)))
        said = _answer(bot, thread)
        if said:
            bot.sends(ANN, spoken(said, words))
    raise AssertionError(f"{step} is still open: {bot.heard(ANN)[-3:]}")


def _answer(bot: Shell, thread: Thread) -> str:
    step, memo = thread.top.step, thread.top.memo
    soak = next((each.contact or each.detergent for each in bot.clinic.cycles.values()), None)
    if step in {"await_detergent", "soaking"}:
        if soak and soak.rung is None:
            return ""
        return f"out {soak.number}" if soak and step == "soaking" else ""
    number = f"{thread.number} " if thread.number else ""
    said = {
        "dip": f"dip {memo.get('container')} {number}",
        "read": memo.get("first", ""),
        "rinse": f"rinsed {soak.number if soak else ''}",
        "immerse": f"in {number}{WARM_ENOUGH}",
    }
    return said.get(step) or ANSWERS[step]


def bodies(bot: Shell) -> list[str]:
    bot.sender.send_due()
    return [body for (body,) in bot.rows("SELECT body FROM outbox ORDER BY id")]


COMMANDS = ("menu", "about", "state", "left", "check v1", "used v1 0412", "test t1", "spill",
            "fault v1", "nonsense")  # fmt: skip


# -- the pseudo-language ------------------------------------------------------------------------

DATA = re.compile("|".join([*NAMES.values(), "OPA"]))


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
def test_all_that_is_said_in_a_cycle_comes_out_of_the_catalogue(
    store: Store, level: Level
) -> None:
    bot = clinic(store, PSEUDO, level)
    words = bot.parts.vocabularies[PSEUDO]

    play(bot, words)
    for command in COMMANDS:
        bot.wait(timedelta(minutes=1))
        bot.sends(ANN, spoken(command, words))
        bot.sends(ELLA, spoken(command, words))

    said = bodies(bot)
    assert len(bot.entries(Released)) == 1
    assert [body for body in said if segments(body).count != 1 or not segments(body).gsm] == []
    assert [body for body in said if re.search("[aeiounAEOUN]", DATA.sub("", body))] == []


# -- a language that nobody speaks --------------------------------------------------------------

CONSONANTS, VOWELS = "KVZXGF", "UY"


def invented(number: int) -> str:
    """A word of its own for each number: no other begins as it does, or is a slip away from it."""
    first, second = divmod(number, len(CONSONANTS))
    syllables = (CONSONANTS[first % 6], CONSONANTS[second], CONSONANTS[(first + second) % 6])
    vowel = VOWELS[first // 6]
    return "".join(f"{consonant}{vowel}" for consonant in syllables)


INVENTED: Mapping[str, Text] = {
    slug: Text(word.slug, invented(number)) for number, (slug, word) in enumerate(WORDS.items())
}


def test_the_invented_words_are_unlike_each_other_and_unlike_english() -> None:
    words = [word.english for word in INVENTED.values()]

    assert len(set(words)) == len(WORDS)
    assert {*words} & {*ENGLISH.words.values(), *RESERVED} == set()
    assert [
        (one, other)
        for one in words
        for other in words
        if one < other and sum(a != b for a, b in zip(one, other, strict=True)) < 2
    ] == []


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
def test_every_word_that_is_asked_for_and_understood_comes_from_the_vocabulary(
    store: Store, level: Level
) -> None:
    renderer = Renderer(INVENTED)
    vocabularies = renderer.vocabularies()
    bot = clinic(store, "en", level, renderer=renderer, vocabularies=vocabularies)

    play(bot, vocabularies["en"])
    missed = bot.entries(NotUnderstood)
    for command in COMMANDS:
        bot.wait(timedelta(minutes=1))
        bot.sends(ANN, spoken(command, vocabularies["en"]))

    assert len(bot.entries(Released)) == 1
    assert missed == []
    # READY is also how a device stands.
    asked_in_english = re.compile(rf"\b({'|'.join({*SLUGS} - {'READY'})})\b")
    assert [asked for body in bodies(bot) for asked in asked_in_english.findall(body)] == []


def test_S14_what_follows_a_word_of_any_language_is_no_pin_and_is_kept_as_typed(
    store: Store,
) -> None:
    renderer = Renderer(INVENTED)
    vocabularies = renderer.vocabularies()
    bot = clinic(store, "en", Level.COACH, renderer=renderer, vocabularies=vocabularies)
    used = spoken("used v1 0412", vocabularies["en"])

    for body in ("3 3141", used, "USED V1 0412"):
        bot.sends(SHARED, body)

    kept = [body for (body,) in bot.rows("SELECT body FROM inbox ORDER BY id")]
    assert kept == ["3 ****", used, "USED V1 ****"]


def test_the_words_of_another_language_do_nothing(store: Store) -> None:
    renderer = Renderer(INVENTED)
    vocabularies = renderer.vocabularies()
    bot = clinic(store, "en", Level.COACH, renderer=renderer, vocabularies=vocabularies)

    bot.sends(ANN, "CLEAN V1")

    assert bot.clinic.devices["V1"].standing is Standing.NOT_READY
    assert bot.clinic.cycles == {}
