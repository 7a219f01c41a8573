"""`say(` calls -> catalogues: `python -m bot.texts.extract` brings every .po file up to date.

English is complete by itself, the pseudo-language is made from it. Any other language keeps its
translations; one whose English has changed is marked fuzzy, which counts as not translated, with
the English it was made from above it. A new language is a new folder in `locale`, and this
command.
"""

from collections.abc import Callable, Iterable
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from bot.texts.catalogue import ENGLISH, LOCALE, PSEUDO
from bot.texts.pseudo import pseudo
from bot.texts.sayings import ROOT, Saying, sayings

Translate = Callable[[str, str], Message]
"""Slug and English -> a message, translated or still without a word."""

_HEADER = """\
msgid ""
msgstr ""
"Project-Id-Version: soakbell\\n"
"Language: {language}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""
"""Without dates: what is committed must equal what is made again."""


def regenerated(locale: Path = LOCALE, root: Path = ROOT) -> dict[Path, bytes]:
    """Every catalogue file as it should stand. Raises ValueError as `sayings` does."""
    found = sayings(root)
    made = {locale / "soakbell.pot": _as_file(found, _untranslated, "")}
    others = {folder.name for folder in locale.iterdir() if folder.is_dir()}
    for language in sorted({ENGLISH, PSEUDO} | others):
        path = locale / language / "LC_MESSAGES" / "soakbell.po"
        made[path] = _as_file(found, _translator(language, path), language)
    return made


def write(locale: Path = LOCALE, root: Path = ROOT) -> None:
    """Bring every catalogue file up to date."""
    for path, content in regenerated(locale, root).items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def _translator(language: str, path: Path) -> Translate:
    if language == ENGLISH:
        return lambda slug, english: Message(english, english, context=slug)
    if language == PSEUDO:
        return lambda slug, english: Message(english, pseudo(english), context=slug)
    return _kept(read_po(BytesIO(path.read_bytes()))) if path.is_file() else _untranslated


def _untranslated(slug: str, english: str) -> Message:
    return Message(english, "", context=slug)


def _kept(old: Catalog) -> Translate:
    """What has been translated stays, under its slug; fuzzy where the English has changed."""
    known = {message.context: message for message in old if message.id and message.string}

    def translate(slug: str, english: str) -> Message:
        was = known.get(slug)
        if was is None:
            return _untranslated(slug, english)
        changed = was.id != english
        return Message(
            english,
            was.string,
            flags=was.flags | ({"fuzzy"} if changed else set()),
            user_comments=was.user_comments + ([f"Was: {was.id}"] if changed else []),
            context=slug,
        )

    return translate


def _as_file(found: Iterable[Saying], translate: Translate, language: str) -> bytes:
    """A text a line, in the order of the slugs, with the files that say it."""
    catalog = Catalog()
    for saying in found:
        message = translate(saying.slug, saying.english)
        message.locations.append((saying.file, saying.line))
        catalog[message.id] = message  # said twice, it stands once, with both places
    body = BytesIO()
    write_po(body, catalog, width=0, omit_header=True, include_lineno=False)
    return _HEADER.format(language=language).encode() + body.getvalue()


if __name__ == "__main__":
    write()
