"""Names of controls, what is read out, what is counted, contrast. Contrast: WCAG 2.2, 1.4.3."""

import re

from bot.texts.segments import ONE_SEPTET, TWO_SEPTETS
from tests.web.phone.browser import Browser
from tests.web.phone.elements import Elements


def test_every_control_and_region_has_a_name(browser: Browser) -> None:
    page = Elements(browser.opens())

    assert page.names("input") == ["Text to Soakbell"]
    assert page.names("button")[:6] == [
        "Real time",
        "10 times as fast",
        "60 times as fast",
        "One minute on",
        "To next bell",
        "Send",
    ]
    assert page.names("nav", "section") == [
        "Phones",
        "The clinic's clock",
        "The phone of Adira",
        "Words to try",
        "The record",
    ]
    assert "" not in page.names("a", "button", "input")


def test_new_texts_are_read_out_and_trouble_at_once(browser: Browser) -> None:
    live = {
        attributes["id"]: attributes["role"]
        for _, attributes in Elements(browser.opens()).held
        if attributes.get("role") in {"log", "alert"}
    }

    assert live == {"texts": "log", "trouble": "alert"}


def test_the_page_counts_with_the_alphabet_we_count_with(browser: Browser) -> None:
    (body,) = (attributes for tag, attributes in Elements(browser.opens()).held if tag == "body")

    # A form feed and a carriage return cannot be typed into one line, nor stand in a page.
    assert ONE_SEPTET - set(body["data-one"]) <= {"\r"}
    assert TWO_SEPTETS - set(body["data-two"]) <= {"\f"}


READ_ON = {
    "paper": ("ink", "soft", "deep", "brass"),
    "card": ("ink", "soft", "brass"),
    "screen": ("ink",),
    "mine": ("ink",),
}


def _luminance(colour: str) -> float:
    """Source: WCAG 2.2, relative luminance."""
    parts = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_every_colour_of_text_stands_out_from_what_it_is_read_on(browser: Browser) -> None:
    with browser.web.get("/static/phone.css") as answer:
        css = answer.text
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", css))

    faint = [
        (ground, letters)
        for ground, read in READ_ON.items()
        for letters in read
        if (_luminance(colours[ground]) + 0.05) / (_luminance(colours[letters]) + 0.05) < 4.5
    ]

    assert faint == []
