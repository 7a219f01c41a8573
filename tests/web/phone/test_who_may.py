"""Who may look and text: this machine and the page itself; and no text can run."""

import re

import pytest

from tests.web.phone.browser import ADIRA, HERE, Browser
from tests.web.phone.elements import Elements


def test_a_text_cannot_run(browser: Browser) -> None:
    attack = "<script>alert('x')</script><img src=x onerror=alert(1)>"
    browser.texts(attack)

    for html in (browser.opens(), str(browser.news(ADIRA, after=0)["lines"])):
        assert "&lt;script&gt;" in html
        assert "<img src=x" not in html


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "https://localhost"},
        {"Origin": "http://localhost:81"},
        {"Origin": "http://evil.example", "Referer": f"{HERE}/"},
        {"Referer": "http://evil.example/http://localhost/"},
        {"Origin": "http://[::1"},
    ],
    ids=str,
)
def test_another_site_s_form_is_refused(browser: Browser, headers: dict[str, str]) -> None:
    answers = [
        browser.web.post("/text", data={"phone": 1, "body": "CLEAN V1"}, headers=headers),
        browser.web.post("/clock", data={"phone": 1, "step": "60x"}, headers=headers),
    ]

    assert [answer.status_code for answer in answers] == [403, 403]
    assert browser.shown() == []
    assert browser.phones.clock.rate == 1


def test_a_browser_that_says_only_referer_may_text(browser: Browser) -> None:
    browser.web.post(
        "/text", data={"phone": 1, "body": "STATE"}, headers={"Referer": f"{HERE}/?phone=1"}
    )

    assert browser.shown()[0] == "STATE"


@pytest.mark.parametrize("address", ["192.0.2.7", "::ffff:192.0.2.7", "2001:db8::7"])
def test_nobody_from_another_machine_may_look(browser: Browser, address: str) -> None:
    """Addresses kept for documentation. Source: RFC 5737 and RFC 3849."""
    paths = ("/", "/news?after=-1", "/record")

    codes = [
        browser.web.get(
            path,
            environ_base={"REMOTE_ADDR": address},
            headers={"X-Forwarded-For": "127.0.0.1"},
        ).status_code
        for path in paths
    ]

    assert codes == [403, 403, 403]


def test_a_name_that_was_pointed_at_this_machine_is_refused(browser: Browser) -> None:
    assert browser.web.get("/", headers={"Host": "evil.example"}).status_code == 400


def test_nothing_from_elsewhere_and_nothing_that_runs_stands_in_the_page(browser: Browser) -> None:
    browser.texts("CLEAN V1")
    answer = browser.web.get("/")
    page = Elements(answer.text)

    policy = answer.headers["Content-Security-Policy"].split("; ")
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert [tag for tag, _ in page.held if tag == "style"] == []
    assert [
        name
        for _, attributes in page.held
        for name in attributes
        if name == "style" or name.startswith("on")
    ] == []
    addresses = [
        value
        for _, attributes in page.held
        for name, value in attributes.items()
        if name in {"src", "href", "action"}
    ]
    assert addresses != []
    assert [address for address in addresses if not re.match(r"/(?!/)", address)] == []
