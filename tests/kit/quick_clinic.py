"""A clinic whose soaks last seconds, for tests of real processes; and phones that answer for it.

Every figure here is laxer than published and says so, with a reason, as a site's choices must.
"""

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from bot.registers.add import add
from bot.registers.spreadsheet import read_sheets
from bot.wiring import Bot
from flows.parts.events import SiteChoiceMade
from flows.parts.moment import Moment

SITE = "quick"
WORKERS = ("+12025550141", "+12025550142")
SUPERVISOR = "+12025550149"
DEVICES = ("V1", "V2")

CHOICES = {
    ("opa_055", "bell_margin"): "30 s",
    ("opa_055", "wipe_wet_time"): "10 s",
    ("opa_055", "rinse_each_for"): "1 s",
    ("opa_strip_1s_90s", "read_after"): "3 s",
    ("opa_strip_1s_90s", "read_within"): "5 min",
    ("enzymatic", "soak_for"): "1 s",
}


SECONDS = SiteChoiceMade("opa_055", "contact_time", "5 s", "a test that cannot wait for hours")
"""The desk takes no soak shorter than any by hand: it is put into the record past it."""


def settle(bot: Bot, now: datetime) -> None:
    """Open the clinic through the bot's own door, as a programme officer would."""
    people = "\n".join(
        f"{SITE},{at},Ann{at},worker,coach,yes,en,{number},"
        for at, number in enumerate(WORKERS, 1)
    )
    baths = "\n".join(f"{SITE},T{at},bath,B1,opa_055,,,0," for at, _ in enumerate(WORKERS, 1))
    sheets = {
        "district.csv": "site,title,zone,closes_at,language,day_order\n"
        f"{SITE},Q,Etc/UTC,23:59,en,dmy",
        "people.csv": "site,number,name,role,level,may_release,language,phone,pin\n"
        f"{people}\n{SITE},9,Ella,supervisor,coach,yes,en,{SUPERVISOR},",
        "devices.csv": "site,label,model\n"
        + "\n".join(f"{SITE},{device},handheld_probe" for device in DEVICES),
        "containers.csv": "site,tag,kind,source,product,lot,expires_in_days,days_ago,checked\n"
        f"{SITE},J1,jug,,opa_055,L1,300,1,\n{SITE},B1,bottle,J1,opa_055,,,0,\n{baths}\n"
        f"{SITE},S1,strips,,opa_strip_1s_90s,L2,300,0,yes",
        "choices.csv": "site,product,key,value,reason\n"
        + "\n".join(
            f"{SITE},{product},{key},{value},a test that cannot wait for hours"
            for (product, key), value in CHOICES.items()
        ),
    }
    for site, wanted in read_sheets(sheets).items():
        made = add(site, wanted, Moment(now, "quick"))
        bot.exchange.set_up(site, (*made.events, SECONDS), made.keep)


def _word(word: str) -> Callable[[re.Match[str]], str]:
    return lambda _: word


ANSWERS: tuple[tuple[str, float, Callable[[re.Match[str]], str]], ...] = (
    (r"Reply READY", 0.2, _word("READY")),
    (r"(?:Reply|dry plug:) SOUND", 0.3, _word("SOUND")),
    (r"Reply SOAPED", 5.2, _word("SOAPED")),
    (r"Reply WATER", 5.2, _word("WATER")),
    (r"Reply WET", 5.2, _word("WET")),
    (r"[Rr]eply WIPED", 10.3, _word("WIPED")),
    (r"Reply MIXED", 3.2, _word("MIXED")),
    (r"Reply UNDER", 10.3, _word("UNDER")),
    (r"DIP (T\d(?: \d\d)?)(?: as .*|\.?$)", 0.3, lambda found: f"DIP {found[1]}"),
    (r"(\d) all purple", 3.5, lambda found: found[1]),
    (r"[Rr]eply RINSED (\d\d)", 5.2, lambda found: f"RINSED {found[1]}"),
    (r"Reply DRY\b", 5.2, _word("DRY")),
    (r"[Rr]eply TUB", 3.2, _word("TUB")),
    (r"\bIN (\d\d )?21\.5", 3.2, lambda found: f"IN {found[1] or ''}24.5"),
    (r"[Rr]eply OUT (\d\d)", 0.3, lambda found: f"OUT {found[1]}"),
    (r"Reply FLUSHED", 3.3, _word("FLUSHED")),
    (r"Reply DRIED", 5.2, _word("DRIED")),
    (r"whole: GOOD", 0.3, _word("GOOD")),
    (r"COVERED", 3.2, _word("COVERED")),
)
"""What a text asks for, how long hands take for it, and the answer."""

PATIENCE = timedelta(seconds=20)
"""After so much silence somebody texts a question mark: a text may have been lost with a kill."""


@dataclass(slots=True)
class Hands:
    """A worker with a phone: does what the last text asks, and texts it."""

    number: str
    device: str
    heard: int = 0
    due: datetime | None = None
    answer: str = ""
    code: str = ""
    in_bath: bool = False
    quiet_since: datetime = field(default_factory=lambda: datetime.now(UTC))  # noqa: TID251  real

    def hears(self, body: str, now: datetime) -> None:
        self.quiet_since = now
        released = re.search(r"READY until .* Code (\S+-\S+):", body)
        if released:
            self.code = released[1]
            self.due = None
            return
        self.in_bath = "bell rings at" in body
        for pattern, takes, answer in ANSWERS:
            found = re.search(pattern, body)
            if found and not ("all purple" in body and self.answer.isdecimal() and self.due):
                self.due = now + timedelta(seconds=takes + random.uniform(0, 0.3))  # noqa: S311
                self.answer = answer(found)
                return

    def texts(self, now: datetime) -> str | None:
        """What is texted now, if anything."""
        if self.code:
            return None
        if self.due and now >= self.due:
            self.due, self.quiet_since = None, now
            return self.answer
        if not self.due and not self.in_bath and now - self.quiet_since > PATIENCE:
            self.quiet_since = now
            return "?"
        return None
