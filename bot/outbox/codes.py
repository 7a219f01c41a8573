"""The gateway's error codes, as one table: which pass, which are final, what each says."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, auto
from types import MappingProxyType


class Verdict(Enum):
    PASSING = auto()
    """The text certainly did not go out; it may be tried again."""
    FINAL = auto()
    """Trying again cannot help."""
    OPTED_OUT = auto()
    """Final, and the person has cut themselves off: the supervisor must hear of it."""
    UNKNOWN = auto()
    """It may have gone out all the same."""


@dataclass(frozen=True, slots=True)
class Code:
    verdict: Verdict
    means: str
    source: str


def _page(code: str) -> str:
    return f"the gateway's page on error {code}"


MEMORY = "from memory"

CODES: Mapping[str, Code] = MappingProxyType(
    {
        # Said at once, when the text is handed over.
        "20003": Code(Verdict.PASSING, "account or token refused: set them right", MEMORY),
        "20429": Code(Verdict.PASSING, "too many requests at once", _page("20429")),
        "20500": Code(Verdict.UNKNOWN, "the gateway failed while it worked", _page("20500")),
        "21211": Code(Verdict.FINAL, "not a valid phone number", _page("21211")),
        "21408": Code(Verdict.FINAL, "that country is not enabled on the account", MEMORY),
        "21608": Code(Verdict.FINAL, "number not verified on a trial account", _page("21608")),
        "21610": Code(Verdict.OPTED_OUT, "the person has opted out", _page("21610")),
        "21611": Code(Verdict.PASSING, "the sender's queue is full", _page("21611")),
        "21612": Code(Verdict.FINAL, "no route from our number to this one", MEMORY),
        "21614": Code(Verdict.FINAL, "not a mobile number", MEMORY),
        "21617": Code(Verdict.FINAL, "longer than 1600 characters", _page("21617")),
        "21635": Code(Verdict.FINAL, "a landline", _page("21635")),
        "21658": Code(Verdict.FINAL, "longer than 1600 characters", _page("21658")),
        # Said later, in a delivery report.
        "30001": Code(Verdict.PASSING, "queue overflow", _page("30001")),
        "30003": Code(Verdict.PASSING, "handset switched off or out of reach", _page("30003")),
        "30004": Code(Verdict.FINAL, "blocked for this phone", _page("30004")),
        "30005": Code(Verdict.FINAL, "unknown handset", MEMORY),
        "30006": Code(Verdict.FINAL, "a landline, or no such carrier", _page("30006")),
        "30007": Code(Verdict.FINAL, "filtered by the carrier", MEMORY),
        "30008": Code(Verdict.PASSING, "the carrier gave no reason", MEMORY),
        "30036": Code(Verdict.FINAL, "not sent in time", _page("30036")),
    }
)
"""A code that is not here is judged by the HTTP answer it came with: the gateway changes its codes
and advises against relying on them. Source: the gateway's change log, July 2024."""

TOO_MANY_REQUESTS = 429
SERVER_FAULTS = 500


def verdict_of(code: str | None, http_status: int) -> Verdict:
    """What an answer means for the text it refused.

    429 was never worked on and is safe to try again; a POST answered with 5xx may have gone out.
    Source: the gateway's pages on errors 20429 and 20500.
    """
    known = CODES.get(code or "")
    if known is not None:
        return known.verdict
    if http_status == TOO_MANY_REQUESTS:
        return Verdict.PASSING
    return Verdict.UNKNOWN if http_status >= SERVER_FAULTS else Verdict.FINAL


def meaning_of(code: str | None) -> str | None:
    """A code in words, or None where it is not in the table."""
    known = CODES.get(code or "")
    return None if known is None else known.means
