"""A catalogue is found by its folder, read from its .po file, and asked by slug and English."""

from pathlib import Path

import pytest
from babel.messages.pofile import PoFileError

from bot.texts.catalogue import ENGLISH, PSEUDO, languages, translated
from bot.texts.extract import write
from flows.parts.text import say

GERMAN = """
msgctxt "t.same"
msgid "Rinse."
msgstr "Spuelen."

#, fuzzy
msgctxt "t.changed"
msgid "Dry it."
msgstr "Trocknen."

msgctxt "t.other"
msgid "Dry it."
msgstr "Abtrocknen."
"""


@pytest.fixture
def locale(tmp_path: Path) -> Path:
    """A folder with a German catalogue, and one with none."""
    path = tmp_path / "de" / "LC_MESSAGES" / "soakbell.po"
    path.parent.mkdir(parents=True)
    path.write_text(GERMAN)
    (tmp_path / "fr").mkdir()
    return tmp_path


def in_german(slug: str, english: str, locale: Path) -> str:
    return translated(say(slug, english), "de", locale)


def test_a_folder_with_a_catalogue_is_a_language(locale: Path) -> None:
    assert languages(locale) == ("de",)


def test_a_translation_is_found_by_slug_and_english(locale: Path) -> None:
    assert in_german("t.same", "Rinse.", locale) == "Spuelen."
    assert in_german("t.other", "Dry it.", locale) == "Abtrocknen."


def test_a_translation_of_another_english_is_not_used(locale: Path) -> None:
    assert in_german("t.same", "Rinse twice.", locale) == "Rinse twice."


def test_a_fuzzy_translation_is_not_used(locale: Path) -> None:
    assert in_german("t.changed", "Dry it.", locale) == "Dry it."


def test_a_broken_catalogue_is_refused(locale: Path) -> None:
    (locale / "de" / "LC_MESSAGES" / "soakbell.po").write_text("Spuelen.\n")

    with pytest.raises(PoFileError):
        translated(say("t.same", "Rinse."), "de", locale)


def test_english_and_the_pseudo_language_are_always_there() -> None:
    assert {ENGLISH, PSEUDO} <= set(languages())


def test_a_catalogue_that_was_written_is_read_back(tmp_path: Path) -> None:
    (tmp_path / "flows").mkdir()
    (tmp_path / "flows" / "one.py").write_text('say("t.quote", "A \\"b\\" \\\\ {c}\\nd")')
    written_to = tmp_path / "locale"
    written_to.mkdir()

    write(written_to, tmp_path)

    text = say("t.quote", 'A "b" \\ {c}\nd')
    assert translated(text, PSEUDO, written_to) == '\u00c4 "b" \\ {c}\nd'
