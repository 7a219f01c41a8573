"""The catalogues: which languages there are, and what a text is called in each.

A catalogue is a .po file that travels inside the package. Each text stands in it under its slug
(as `msgctxt`) and its English; nothing compiled is kept beside it.
"""

import gettext
from functools import cache
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from flows.parts.text import Text

ENGLISH = "en"
PSEUDO = "qps"
"""English with accents: whoever reads a plain letter in it has found a text set in the code."""

LOCALE = Path(__file__).parent / "locale"


def languages(locale: Path = LOCALE) -> tuple[str, ...]:
    """Every language that has a catalogue, English and the pseudo-language among them."""
    held = (folder.name for folder in locale.iterdir())
    return tuple(sorted(name for name in held if _file(name, locale).is_file()))


def _file(language: str, locale: Path) -> Path:
    return locale / language / "LC_MESSAGES" / "soakbell.po"


def catalogue(language: str, locale: Path = LOCALE) -> Catalog:
    """Read one language's catalogue. Raises FileNotFoundError where there is none."""
    return read_po(BytesIO(_file(language, locale).read_bytes()), abort_invalid=True)


@cache
def _translations(language: str, locale: Path) -> gettext.NullTranslations:
    if language not in languages(locale):
        return gettext.NullTranslations()
    compiled = BytesIO()
    write_mo(compiled, catalogue(language, locale))
    compiled.seek(0)
    return gettext.GNUTranslations(compiled)


def translated(text: Text, language: str, locale: Path = LOCALE) -> str:
    """The text in that language, its placeholders still open; in English where it has none.

    English rather than nothing: somebody at a sink waits for it. A test demands that no
    catalogue lacks a text, and a translation whose English has changed counts as lacking.
    """
    return _translations(language, locale).pgettext(text.slug, text.english)
