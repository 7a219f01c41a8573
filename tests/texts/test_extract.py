"""Catalogues follow the `say` calls in the code, and no translator's work is lost."""

from collections.abc import Callable
from pathlib import Path

import pytest
from babel.messages.catalog import Message
from babel.messages.pofile import read_po

from bot.texts.extract import regenerated, write
from bot.texts.sayings import Saying, sayings

ONE = 'say("t.one", "Wipe {device}.", device=label)\n'
Plants = Callable[..., Path]


@pytest.fixture
def plants(tmp_path: Path) -> Plants:
    (tmp_path / "locale").mkdir()

    def plant(text: str, name: str = "flows/clean.py") -> Path:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
        return tmp_path

    return plant


def in_catalogue(root: Path, language: str, slug: str) -> Message:
    with (root / "locale" / language / "LC_MESSAGES" / "soakbell.po").open("rb") as file:
        return {message.context: message for message in read_po(file)}[slug]


def test_a_call_is_found_wherever_it_stands(plants: Plants) -> None:
    plants("ASKS = lambda s: (say(\n  't.two', 'a ' 'b',\n  **values),)\n")
    root = plants(f"x = 1\n{ONE}draft.say(saying)\n", "bot/web/phone.py")

    assert sayings(root) == (
        Saying("t.one", "Wipe {device}.", frozenset({"device"}), "bot/web/phone.py", 2),
        Saying("t.two", "a b", None, "flows/clean.py", 1),
    )


@pytest.mark.parametrize(
    "call",
    [
        'say(slug, "English")',
        'say("t.one", f"{device} rests")',
        'say("t.one", "a" + b)',
        'say("t.one")',
        'say("t.one", *rest)',
        'say("t.one", 12)',
    ],
)
def test_a_call_that_cannot_be_read_is_named(plants: Plants, call: str) -> None:
    root = plants(f"\n{call}\n")

    with pytest.raises(ValueError, match=r"^flows/clean.py:2: write slug and English out"):
        sayings(root)


def test_all_faults_are_named_at_once(plants: Plants) -> None:
    root = plants(f'{ONE}say("t.one", "Other.")\nsay(a, b)\n')

    with pytest.raises(ValueError, match="write slug") as raised:
        sayings(root)

    unread, second = str(raised.value).splitlines()
    assert unread.startswith("flows/clean.py:3: write slug")
    assert second.startswith("flows/clean.py:2: t.one already says something else in flows/clean")


def test_english_is_complete_and_the_pseudo_language_keeps_placeholders(plants: Plants) -> None:
    root = plants(ONE)

    write(root / "locale", root)

    assert in_catalogue(root, "en", "t.one").string == "Wipe {device}."
    assert in_catalogue(root, "qps", "t.one").string == "W\u00ecp\u00e9 {device}."
    assert b'msgid "Wipe {device}."\nmsgstr ""' in (root / "locale/soakbell.pot").read_bytes()


def test_a_text_said_in_two_places_stands_once(plants: Plants) -> None:
    plants(ONE + ONE, "flows/a.py")
    root = plants(ONE, "flows/b.py")

    template = regenerated(root / "locale", root)[root / "locale/soakbell.pot"].decode()

    assert template.count("t.one") == 1
    assert "#: flows/a.py flows/b.py\n" in template


def translated_into_german(root: Path) -> None:
    (root / "locale" / "de").mkdir()
    write(root / "locale", root)
    path = root / "locale" / "de" / "LC_MESSAGES" / "soakbell.po"
    blank = 'msgid "Wipe {device}."\nmsgstr '
    path.write_text(path.read_text().replace(f'{blank}""', f'{blank}"Wisch {{device}}."'))


def test_a_new_language_is_a_folder_and_this_command(plants: Plants) -> None:
    root = plants(ONE)
    (root / "locale" / "de").mkdir()

    write(root / "locale", root)

    assert in_catalogue(root, "de", "t.one").string == ""


def test_a_translation_stays_while_its_english_does(plants: Plants) -> None:
    root = plants(ONE)
    translated_into_german(root)
    plants(f'{ONE}say("t.two", "New.")\n')

    write(root / "locale", root)

    kept = in_catalogue(root, "de", "t.one")
    assert (kept.string, kept.fuzzy) == ("Wisch {device}.", False)
    assert in_catalogue(root, "de", "t.two").string == ""


def test_a_translation_whose_english_has_changed_waits_for_its_translator(
    plants: Plants,
) -> None:
    root = plants(ONE)
    translated_into_german(root)
    plants(ONE.replace("Wipe", "Dry"))

    write(root / "locale", root)
    write(root / "locale", root)

    kept = in_catalogue(root, "de", "t.one")
    assert (kept.string, kept.fuzzy) == ("Wisch {device}.", True)
    assert kept.user_comments == ["Was: Wipe {device}."]


def test_a_text_that_is_said_no_more_is_gone(plants: Plants) -> None:
    root = plants(ONE)
    translated_into_german(root)
    plants("x = 1\n")

    files = regenerated(root / "locale", root)

    assert [path.name for path, content in files.items() if b"t.one" in content] == []


def test_what_is_made_twice_is_the_same(plants: Plants) -> None:
    root = plants(ONE)
    translated_into_german(root)

    write(root / "locale", root)

    assert regenerated(root / "locale", root) == {
        path: path.read_bytes() for path in (root / "locale").rglob("*.po*") if path.is_file()
    }
