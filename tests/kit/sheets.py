"""Rows as somebody types them, for the registers."""

from datetime import UTC, datetime
from importlib.resources import files

from bot.registers.add import Row, Standing, Wanted, add
from bot.registers.set_up import SetUp
from flows.parts.moment import Moment

NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
MOMENT = Moment(NINE, "token")
SITE = "hill"

OPEN = Row(
    "district.csv row 2",
    {"site": SITE, "zone": "Etc/GMT-3", "closes_at": "17:00", "language": "en"},
)
JUG = {
    "tag": "J1", "kind": "jug", "product": "opa_055", "lot": "L7", "expires": "2027-03-31",
    "since": "2026-02-24",
}  # fmt: skip
STRIPS = {
    "tag": "S1", "kind": "strips", "product": "opa_strip_1s_90s", "expires": "2027-03-31",
    "since": "2026-02-24", "checked": "yes",
}  # fmt: skip
ANN = {
    "number": "1", "name": "Ann", "role": "worker", "level": "coach", "may_release": "yes",
    "language": "en",
}  # fmt: skip


def row(**cells: str) -> Row:
    return Row("row", cells)


def hashed(pin: str) -> str:
    """Quick, where the slow one is not what is tested."""
    return f"hash of {len(pin)} figures"


def added(stands: Standing | None = None, **rooms: tuple[Row, ...]) -> SetUp:
    """What comes of these rows at a site that is opened with them."""
    return add(SITE, Wanted(site=OPEN, **rooms), MOMENT, stands, hashed)


def district() -> dict[str, str]:
    """The invented district's own sheets."""
    folder = files("demo_data")
    return {
        each.name: each.read_text(encoding="utf-8")
        for each in folder.iterdir()
        if each.name.endswith(".csv")
    }
