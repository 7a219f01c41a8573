"""The web phone in a real browser: a whole brief cycle with the keyboard alone."""

import re
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

from bot.texts.segments import segments
from flows.calculations.check_code import code_problem
from tests.whole.demo import Demo, demo

ADIRA, BENNU, ELMAR = 1, 2, 4

CHROMIUM = shutil.which("chromium")
playwright = pytest.importorskip(
    "playwright.sync_api", reason="No browser driver: the wheel playwright is missing."
)
pytestmark = pytest.mark.skipif(
    CHROMIUM is None, reason="No browser: chromium is not on the search path."
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture(scope="module")
def clinic(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """One for all: it takes seconds to open, and each test keeps to a phone of its own."""
    with demo(tmp_path_factory.mktemp("demo")) as opened:
        yield opened
        opened.ends()


class Screen:
    """One phone in a browser, and the hands at its keyboard."""

    def __init__(self, browser: Any, url: str, width: int = 360, height: int = 740) -> None:
        self.page = browser.new_page(viewport={"width": width, "height": height})
        self.trouble: list[str] = []
        self.asked: set[str] = set()
        self.page.on("console", lambda message: self.trouble.append(message.text))
        self.page.on("pageerror", lambda error: self.trouble.append(str(error)))
        self.page.on("request", lambda request: self.asked.add(request.url.split("/")[2]))
        self.page.goto(url)

    def types(self, text: str, hears: str) -> str:
        """Type and press Enter, in the field that has the focus; the answer, once it is there."""
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")
        return self.hears(hears)

    def hears(self, pattern: str) -> str:
        last = self.page.locator("#texts li.came .body").last
        playwright.expect(last).to_contain_text(re.compile(pattern), timeout=20_000)
        return str(last.inner_text())

    def turns(self, step: str) -> None:
        self.page.locator(f"button[value='{step}']").click()
        self.page.locator("#body").focus()

    def waits_until(self, minutes_on: int) -> None:
        """Until the shown clock is so many minutes further than now."""
        self.page.wait_for_function(
            "([from, span]) => document.querySelector('#time').textContent"
            " && Number(document.querySelector('#time').textContent.split(':')[1]) >= from + span",
            arg=[int(self.time().split(":")[1]), minutes_on],
        )

    def time(self) -> str:
        return str(self.page.locator("#time").inner_text())


def numbered(text: str, word: str) -> str:
    """The bell number in a text: IN 67 21.5 -> 67."""
    found = re.search(rf"{word} (\d\d)\b(?!\.\d)", text)
    assert found, text
    return found[1]


def test_a_whole_brief_cycle_ends_with_a_release_code(browser: Any, clinic: Demo) -> None:
    screen = Screen(browser, f"{clinic.url}/?phone={BENNU}")

    screen.types("CLEAN V1", "Reply READY")
    screen.types("ready", "UNDER, or DAMAGED")
    screen.turns("minute")
    screen.turns("minute")
    screen.types("under", "Reply DIP T1")
    screen.types("dip t1", "read the strip")
    screen.turns("bell")
    screen.hears("Strip from T1")
    screen.types("1", "T1 is good for V1")
    screen.turns("bell")
    into_bath = screen.hears(r"IN \d\d 21\.5")
    screen.turns("minute")
    screen.types(f"in {numbered(into_bath, 'IN')} 23", "The bell rings at")
    screen.turns("bell")
    bell = screen.hears(r"OUT \d\d")
    screen.types(f"out {numbered(bell, 'OUT')}", "COVERED")
    screen.turns("60x")
    screen.waits_until(4)
    screen.turns("1x")
    released = screen.types("covered", "READY until")

    (code,) = re.findall(r"Code (V1-\w+)", released)
    assert code_problem(code) is None
    assert screen.trouble == []
    assert screen.asked == {clinic.url.removeprefix("http://")}


def test_an_alert_shows_as_unread_on_the_supervisor_s_phone(browser: Any, clinic: Demo) -> None:
    screen = Screen(browser, clinic.url, 1280, 800)

    screen.types("USED V2 0412", "V2 on patient 0412")

    unread = screen.page.locator(f"a[href='/?phone={ELMAR}'] .unread")
    playwright.expect(unread).to_have_text(re.compile(r"[1-9] unread"))
    screen.page.get_by_role("link", name="Elmar").click()
    playwright.expect(screen.page.locator("#texts li.came").first).to_be_visible()
    playwright.expect(unread).to_be_hidden()


SAMPLES = (
    "in 21,5",
    "[]{}\\^~|\u20ac",
    "caf\u00e9 \u00e7a",
    "\u0417\u0434\u0440\u0430\u0432\u043e",
    "\U0001f514 bell",
    "x" * 160,
    "x" * 161,
    "x" * 152 + "[" + "x" * 153,
    "\u0417" * 70,
    "\u0417" * 71,
    "\u0417" * 66 + "\U0001f514" + "\u0417" * 20,
)


def test_the_counter_counts_as_we_count(browser: Any, clinic: Demo) -> None:
    screen = Screen(browser, clinic.url)
    shown, counted = [], []
    for sample in SAMPLES:
        screen.page.locator("#body").fill(sample)
        shown.append(screen.page.locator("#counter").inner_text())
        ours = segments(sample)
        of_room = f"{ours.septets}/{160 if ours.gsm else 70}"
        counted.append(of_room if ours.count == 1 else f"{of_room}, {ours.count} SMS")

    assert shown == counted


@pytest.mark.parametrize(("width", "height"), [(360, 740), (1280, 800)])
def test_nothing_is_cut_off_and_the_field_is_in_sight(
    browser: Any, clinic: Demo, width: int, height: int
) -> None:
    screen = Screen(browser, clinic.url, width, height)
    screen.types("MENU", "ABOUT")

    wide = screen.page.evaluate("document.documentElement.scrollWidth")
    field = screen.page.locator("#body").bounding_box()
    counter = screen.page.locator("#counter").bounding_box()
    assert wide <= width
    assert field["width"] >= 180
    assert counter["y"] + counter["height"] <= height
    assert screen.page.evaluate("document.activeElement.id") == "body"


def test_a_text_of_markup_is_shown_as_it_was_typed(browser: Any, clinic: Demo) -> None:
    screen = Screen(browser, clinic.url)
    attack = "<img src=x onerror=alert(1)><b>hi</b>"

    screen.types(attack, "did not understand")

    typed = screen.page.locator("#texts li.typed .body").last
    assert typed.inner_text() == attack
    assert screen.page.locator("#texts img, #texts b").count() == 0
    assert screen.trouble == []
