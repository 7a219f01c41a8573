"""Every text in every catalogue: complete, one segment, in words that carriers leave alone."""

import ast
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.texts.catalogue import PSEUDO, catalogue, languages
from bot.texts.extract import LOCALE, regenerated
from bot.texts.render import PLACEHOLDER, Renderer
from bot.texts.segments import segments, to_gsm7
from flows.parts.text import LONGEST
from flows.replies.typed import fold, tidy
from flows.words import ANSWERS, COMMANDS, RESERVED, WORDS
from tests.house.tree import ROOT, SOURCE_ROOMS, files, modules, parsed
from tests.texts.measure import SAYINGS, TEXTS, at_its_longest, in_language

KEPT_BY_CARRIERS = frozenset(
    {
        "STOP",
        "STOPALL",
        "UNSUBSCRIBE",
        "CANCEL",
        "END",
        "QUIT",
        "REVOKE",
        "OPTOUT",
        "START",
        "UNSTOP",
        "YES",
        "HELP",
        "INFO",
    }
)
"""Source: the gateway's documentation of its opt-out words, as published in 2026."""

ASKS_FOR = re.compile(r"(?i:\b(?:reply|answer|send|text|type)\b)[^.?!]*?\b([A-Z]{2,})\b")
"""An answer or command spelt in a sentence that asks for it."""

PRODUCTS = ROOT / "flows" / "protocols"
VOCABULARIES = Renderer().vocabularies()

in_each_language = pytest.mark.parametrize("language", languages())


def holes(text: str) -> Counter[str]:
    return Counter(PLACEHOLDER.findall(text))


def in_capitals(text: str) -> set[str]:
    """The words a text shouts, accents apart: the only way it writes what is to be answered."""
    shouted = "".join(" " if letter != letter.upper() else letter for letter in text)
    return set(re.findall(r"\w+", fold(shouted)))


def test_the_catalogues_are_what_the_texts_in_the_code_make_of_them() -> None:
    stale = [
        path.relative_to(ROOT).as_posix()
        for path, content in regenerated().items()
        if not path.is_file() or path.read_bytes() != content
    ]

    assert stale == [], "make them again: python -m bot.texts.extract"


def test_no_compiled_catalogue_and_nothing_else_lies_among_them() -> None:
    assert set(files(LOCALE)) == set(regenerated())


@in_each_language
def test_no_catalogue_lacks_a_text_or_keeps_one_whose_english_has_changed(language: str) -> None:
    held = {
        (message.context, message.id)
        for message in catalogue(language)
        if message.string and not message.fuzzy
    }

    lacking = [slug for slug, text in TEXTS.items() if (slug, text.english) not in held]

    assert lacking == []


@in_each_language
def test_a_translation_has_the_placeholders_of_its_english(language: str) -> None:
    differing = [
        slug
        for slug, text in TEXTS.items()
        if holes(in_language(language, slug)) != holes(text.english)
    ]

    assert differing == []


@in_each_language
def test_no_brace_stands_alone(language: str) -> None:
    """One septet short of a placeholder: "{device" would be sent as it stands."""
    alone = [
        slug
        for slug in TEXTS
        if re.search("[{}]", PLACEHOLDER.sub("", in_language(language, slug)))
    ]

    assert alone == []


def test_a_call_gives_what_its_text_needs_and_nothing_else() -> None:
    differing = {
        f"{saying.file}:{saying.line}": (needed, set(saying.given))
        for saying in SAYINGS
        if saying.given is not None
        and (needed := holes(saying.english).keys() - WORDS.keys()) != saying.given
    }

    assert differing == {}


def test_every_value_has_a_longest_one_and_none_bears_the_name_of_a_word() -> None:
    named = {name for text in TEXTS.values() for name in holes(text.english)}

    assert named - LONGEST.keys() - WORDS.keys() == set()
    assert LONGEST.keys() & WORDS.keys() == set()


def test_another_librarys_text_is_let_be(tmp_path: Path) -> None:
    planted = tmp_path / "bot" / "planted.py"
    planted.parent.mkdir()
    planted.write_text("from sqlalchemy import Text\nColumn(Text())\n")

    assert hidden_texts(tmp_path) == []


def test_a_slug_is_lower_case_with_points_between_its_parts() -> None:
    strange = [slug for slug in TEXTS if not re.fullmatch(r"[a-z0-9_]+(\.[a-z0-9_]+)*", slug)]

    assert strange == []


def hidden_texts(root: Path) -> list[str]:
    """Texts that no catalogue would hold: made without `say`, or with it under another name."""
    return [
        f"{path.relative_to(root)}:{node.lineno}"
        for path in modules(root, *SOURCE_ROOMS)
        if path != root / "flows" / "parts" / "text.py"
        for node in hiding(parsed(path))
    ]


def hiding(module: ast.Module) -> Iterator[ast.Import | ast.ImportFrom | ast.Call]:
    is_ours = False
    for node in ast.walk(module):
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = imported(node)
            is_ours |= ("flows.parts.text.Text", None) in names
            if names & {("flows.parts.text", None)} or renamed(names):
                yield node
        elif is_ours and isinstance(node, ast.Call) and ast.unparse(node.func) == "Text":
            yield node


def imported(node: ast.Import | ast.ImportFrom) -> set[tuple[str, str | None]]:
    room = f"{node.module}." if isinstance(node, ast.ImportFrom) else ""
    return {(f"{room}{name.name}", name.asname) for name in node.names}


def renamed(names: set[tuple[str, str | None]]) -> bool:
    return any(name.startswith("flows.parts.text") and other for name, other in names)


def test_every_text_is_made_by_say_under_its_own_name() -> None:
    assert hidden_texts(ROOT) == []


@pytest.mark.parametrize(
    "line",
    [
        'Text("a", "b")',
        "from flows.parts.text import Text as Words",
        "import flows.parts.text as text",
        "from flows.parts.text import say as tell",
        "from flows.parts import text",
        "import flows.parts.text",
    ],
)
def test_a_hidden_text_is_found(tmp_path: Path, line: str) -> None:
    planted = tmp_path / "flows" / "planted.py"
    planted.parent.mkdir()
    planted.write_text(f'from flows.parts.text import Text, say\nsay("a.b", "c")\n{line}\n')

    assert hidden_texts(tmp_path) == ["flows/planted.py:3"]


@in_each_language
def test_every_text_is_in_the_sms_alphabet_as_it_stands(language: str) -> None:
    """No degree sign, no curly quote, no long dash, no small c with cedilla."""
    texts = [in_language(language, slug) for slug in TEXTS]

    assert [to_gsm7(text) for text in texts] == texts


@in_each_language
def test_every_text_is_one_segment_with_its_longest_values(language: str) -> None:
    """Against the reference libraries: tests/outside/test_gsm7.py."""
    measured = {slug: segments(at_its_longest(language, slug)) for slug in TEXTS}

    too_long = {slug: cost for slug, cost in measured.items() if cost.count > 1 or not cost.gsm}

    assert too_long == {}


@in_each_language
def test_a_reason_is_no_longer_than_the_longest(language: str) -> None:
    """What begins small stands inside another text, and is measured there at this length."""
    reasons = [slug for slug, text in TEXTS.items() if text.english[0].islower()]

    too_long = [
        slug for slug in reasons if len(in_language(language, slug)) > len(LONGEST["reason"])
    ]

    assert too_long == []
    assert reasons


def test_what_products_are_called_is_no_longer_than_the_longest() -> None:
    said = {"title": "product", "pass_colour": "pass_colour", "fail_colour": "fail_colour"}
    products = [tomllib.loads(path.read_text()) for path in PRODUCTS.rglob("*.toml")]
    called = [(key, worded(product[key])) for product in products for key in said.keys() & product]

    too_long = [(key, words) for key, words in called if len(words) > len(LONGEST[said[key]])]

    assert too_long == []
    assert {key for key, _ in called} == said.keys()
    assert [to_gsm7(words) for _, words in called] == [words for _, words in called]


def worded(figure: str | dict[str, str]) -> str:
    return figure if isinstance(figure, str) else figure["value"]


@in_each_language
def test_no_text_begins_with_a_word_that_carriers_keep(language: str) -> None:
    """A text that is one of these words, or that a phone would send back as one."""
    kept = RESERVED | KEPT_BY_CARRIERS

    begun = [
        slug for slug in TEXTS if kept.intersection(tidy(in_language(language, slug)).words[:1])
    ]

    assert begun == []


@in_each_language
def test_no_text_asks_for_a_word_that_carriers_keep(language: str) -> None:
    kept = RESERVED | KEPT_BY_CARRIERS

    asking = [slug for slug in TEXTS if kept & in_capitals(in_language(language, slug))]

    assert asking == []


def test_the_list_of_kept_words_holds_the_published_one() -> None:
    assert set() == KEPT_BY_CARRIERS - RESERVED


@in_each_language
def test_no_command_or_answer_is_a_word_that_carriers_keep(language: str) -> None:
    words = {fold(word) for word in VOCABULARIES[language].words.values()}

    assert words & (RESERVED | KEPT_BY_CARRIERS) == set()


@in_each_language
def test_commands_and_answers_differ_from_one_another_however_they_are_typed(
    language: str,
) -> None:
    typed = Counter(fold(word) for word in VOCABULARIES[language].words.values())

    assert [word for word, times in typed.items() if times > 1] == []


def test_commands_and_answers_share_no_name_and_bear_it_in_their_slugs() -> None:
    assert COMMANDS.keys() & ANSWERS.keys() == set()
    assert {text.slug for text in WORDS.values()} == {f"word.{name}" for name in WORDS}
    assert all(text.slug == f"word.{name}" for name, text in WORDS.items())


@in_each_language
def test_a_command_or_answer_is_one_word_of_capitals_within_its_longest(language: str) -> None:
    words = list(VOCABULARIES[language].words.values())

    assert [word for word in words if tidy(word).words != (fold(word),)] == []
    assert [word for word in words if not word.isalpha() or word != word.upper()] == []
    assert max(map(len, words)) <= len(LONGEST["word"])


def test_an_answer_is_asked_for_by_its_name_and_not_spelt_in_the_text() -> None:
    """Spelt, it stays English where a translator forgets it, and nobody understands it."""
    words = {word.english for word in WORDS.values()}

    spelt = {
        slug: found
        for slug, text in TEXTS.items()
        if (found := words.intersection(ASKS_FOR.findall(text.english)))
    }

    assert spelt == {}


def test_the_pseudo_language_changes_every_letter_it_can_and_no_length() -> None:
    accented = {slug: in_language(PSEUDO, slug) for slug in TEXTS}

    plain = [
        slug
        for slug, text in accented.items()
        if re.search("[aeiounAEOUN]", PLACEHOLDER.sub("", text))
        or len(text) != len(TEXTS[slug].english)
    ]

    assert plain == []
