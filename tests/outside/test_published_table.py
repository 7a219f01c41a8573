"""Whatever a shipped protocol file calls published is what its publication gives."""

from decimal import ROUND_CEILING, Decimal

import pytest

from flows.protocols import shipped
from flows.protocols.fields import standing
from flows.protocols.figures import NAMES
from flows.protocols.model import Product
from tests.outside.published import PUBLICATIONS, is_said, rows

SHELF = shipped()
KINDS = (SHELF.chemistries, SHELF.strips, SHELF.devices, SHELF.detergents, SHELF.covers)
ROWS = list(rows())

IN_WORDS = {"disposal", "handling", "immersion_line", "rinse_water", "shelf", "storage"}
"""Keys that hold a sentence: what is published must be in it."""

ROUNDED_UP = {"neutraliser_g_per_l": Decimal("0.1"), "rinse_volume_l": Decimal(1)}
"""Keys whose published figure was converted from US units, and the step it is rounded up to."""


def of_shelf(name: str) -> Product:
    product = SHELF.product(name)
    assert product is not None, name
    return product


def as_published(product: Product, key: str, published: str) -> bool:
    """Whether the file of *product* says under *key* what is *published*."""
    value, kind = getattr(product, key), product.table[key].kind
    if key in IN_WORDS:
        return all(is_said(words, kind.shows(value)) for words in published.split(" + "))
    if key in ROUNDED_UP:
        exact = Decimal(published.split(maxsplit=1)[0])
        return bool(value == exact.quantize(ROUNDED_UP[key], ROUND_CEILING))
    return bool(value == kind.reads(published.split(", ") if kind is NAMES else published))


@pytest.mark.parametrize(("name", "key", "published", "marks"), ROWS)
def test_a_published_figure_is_the_one_of_its_publications(
    name: str, key: str, published: str, marks: list[str]
) -> None:
    """Sources: named in each row, and in full in `PUBLICATIONS`."""
    product = of_shelf(name)

    assert as_published(product, key, published), getattr(product, key)
    assert all(mark in product.source_of(key) for mark in marks), product.source_of(key)
    assert set(marks) <= set(PUBLICATIONS)


def test_no_figure_calls_itself_published_that_is_not_in_the_table() -> None:
    shipped_as_published = {
        (product.name, key)
        for kind in KINDS
        for product in kind.values()
        for key, source in product.sources
        if standing(source) == "published"
    }

    assert shipped_as_published == {(name, key) for name, key, _, _ in ROWS}
    assert len(ROWS) == len(shipped_as_published)


@pytest.mark.parametrize(
    ("words", "sentence", "said"),
    [
        ("2 years", "Unopened up to 2 years, never past the date.", True),
        ("2 years", "Unopened up to 12 years.", False),
        ("2 years", "Unopened up to 1.2 years.", False),
        ("5 s", "Drain it 5 seconds.", False),
        ("none", "none", True),
    ],
)
def test_words_are_found_in_a_sentence_only_as_they_stand(
    words: str, sentence: str, *, said: bool
) -> None:
    assert is_said(words, sentence) is said
