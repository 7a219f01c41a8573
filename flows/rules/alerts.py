"""The alert table: cause, how grave, and what the supervisor is told."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from flows.parts.text import Text, say


@dataclass(frozen=True, slots=True)
class Cause:
    """One reason to wake somebody; *tells* makes the text from what it is about."""

    tells: Callable[[str], Text]
    critical: bool = False


TOLD_LATE = "told_late"
"""S18: what a release rested on has been contradicted once it was given."""

ALERTS: Mapping[str, Cause] = MappingProxyType(
    {
        "strip_failed": Cause(
            lambda subject: say(
                "alert.strip_failed",
                "{tag} failed its strip. Not for use. Every cycle in it since its last pass is "
                "void; a look-back is open.",
                tag=subject,
            ),
            critical=True,
        ),
        "lot_recalled": Cause(
            lambda subject: say(
                "alert.lot_recalled",
                "Lot {lot} is recalled: keep it, do not pour it away; once it is gone {discard} "
                "its tag. Cycles and releases on it are void; a look-back is open.",
                lot=subject,
            ),
            critical=True,
        ),
        "strips_recalled": Cause(
            lambda subject: say(
                "alert.strips_recalled",
                "Strip lot {lot} is recalled: keep it aside; once it is gone {discard} its tag. "
                "Cycles and releases on it are void; a look-back is open.",
                lot=subject,
            ),
            critical=True,
        ),
        "found_unfit": Cause(
            lambda subject: say(
                "alert.found_unfit",
                "{tag} was no good when it was used, as has turned out. Every cycle that rests on "
                "it is void; a look-back is open.",
                tag=subject,
            ),
            critical=True,
        ),
        "recalled_not_here": Cause(
            lambda subject: say(
                "alert.recalled_not_here",
                "Lot {lot} is recalled. The record here shows nothing of it, so nothing is void. "
                "Is any in the store-room? Set it aside, do not open it.",
                lot=subject,
            )
        ),
        "figure_not_here": Cause(
            lambda subject: say(
                "alert.figure_not_here",
                "A figure for {product} was wrong and is recalled. Nothing here rests on it, so "
                "nothing is void. My texts have the new one from now on.",
                product=subject,
            )
        ),
        "recalled_none_void": Cause(
            lambda subject: say(
                "alert.recalled_none_void",
                "Lot {lot} is recalled: keep it, do not pour it away; once it is gone {discard} "
                "its tag. By the record nothing open or READY is of it; a look-back is open.",
                lot=subject,
            ),
            critical=True,
        ),
        "figure_none_void": Cause(
            lambda subject: say(
                "alert.figure_none_void",
                "A figure for {product} was wrong and is recalled. Nothing open or READY rests on "
                "it, so nothing is void. A look-back is open.",
                product=subject,
            ),
            critical=True,
        ),
        "recalled_gone": Cause(
            lambda subject: say(
                "alert.recalled_gone",
                "{tag} is recalled and was to be kept, and a worker tells that it is gone. Please "
                "ask where it is.",
                tag=subject,
            )
        ),
        "figure_recalled": Cause(
            lambda subject: say(
                "alert.figure_recalled",
                "A figure for {product} was wrong and is recalled. Cycles and releases that rest "
                "on it are void; a look-back of their uses is open.",
                product=subject,
            ),
            critical=True,
        ),
        "second_no_result": Cause(
            lambda subject: say(
                "alert.second_no_result",
                "{tag}: two strips without a result today. It is on hold. Please look at it.",
                tag=subject,
            )
        ),
        "abandoned": Cause(
            lambda subject: say(
                "alert.abandoned",
                "The cleaning of {device} was not finished. It is NOT READY. Please see to it.",
                device=subject,
            )
        ),
        "no_answer": Cause(
            lambda subject: say(
                "alert.no_answer",
                "{device}: its cleaning stands still and nobody answers. It can still be mended: "
                "please call.",
                device=subject,
            )
        ),
        "not_understood": Cause(
            lambda subject: (
                say(
                    "alert.not_understood",
                    "Somebody cleaning {device} needs a hand with my questions. Please call.",
                    device=subject,
                )
                if subject
                else say(
                    "alert.not_understood.nothing",
                    "Somebody at your site needs a hand with my questions. Please call.",
                )
            )
        ),
        "code_owed": Cause(
            lambda subject: say(
                "alert.code_owed",
                "{device} was used and its patient code is still missing. Please get it from the "
                "register.",
                device=subject,
            )
        ),
        "used_not_ready": Cause(
            lambda subject: say(
                "alert.used_not_ready",
                "{device} was used on a patient while it was NOT READY. It was told by the "
                "worker, as it should be. A look-back is open.",
                device=subject,
            ),
            critical=True,
        ),
        TOLD_LATE: Cause(
            lambda subject: say(
                "alert.told_late",
                "{device}: a worker tells after its release that its soak or its state is in "
                "doubt. That cleaning is void; a look-back of its uses is open.",
                device=subject,
            ),
            critical=True,
        ),
        "quarantined": Cause(
            lambda subject: say(
                "alert.quarantined",
                "{device} is in quarantine: damage, doubt or liquid where it should not be. Look "
                "at it with the worker, then {lift} {device}.",
                device=subject,
            )
        ),
        "clock_back": Cause(
            lambda _: say(
                "alert.clock_back",
                "My clock was put back. By it dates and READY times end earlier now: where a "
                "label says a later date go by {state}. Please tell whoever runs me.",
            ),
            critical=True,
        ),
        "unreachable": Cause(
            lambda _: say(
                "alert.unreachable",
                "A phone of your site cannot be reached. Bells ring on the other phones until it "
                "answers.",
            )
        ),
        "opted_out": Cause(
            lambda _: say(
                "alert.opted_out",
                "A phone of your site has cut itself off from my texts. Its carrier lets it opt "
                "in again.",
            )
        ),
        "locked": Cause(
            lambda _: say("alert.locked", "A shared phone of your site is locked: wrong PINs.")
        ),
        "unverified": Cause(
            lambda subject: say(
                "alert.unverified",
                "Something was told from a phone that nobody has signed in on: {subject}. "
                "Please ask who.",
                subject=subject,
            )
        ),
        "unverified_about": Cause(
            lambda subject: say(
                "alert.unverified_about",
                "Somebody texted about {subject}, maybe bad news; nobody has signed in on that "
                "phone. Please ask who.",
                subject=subject,
            )
        ),
        "unknown_device": Cause(
            lambda _: say(
                "alert.unknown_device",
                "A use or fault was told of a device that I do not know. Its words are kept. "
                "Please ask who, and which.",
            )
        ),
        "label_in_doubt": Cause(
            lambda subject: say(
                "alert.label_in_doubt",
                "A worker tells that the label of {tag} may be otherwise than noted: its date or "
                "its lot. Please look, and put it right at the desk.",
                tag=subject,
            )
        ),
        "use_in_doubt": Cause(
            lambda subject: say(
                "alert.use_in_doubt",
                "A use of {device} is told otherwise than noted: its probe, patient or day. "
                "Please ask, and put the record right at the desk.",
                device=subject,
            )
        ),
        "spill": Cause(
            lambda _: say("alert.spill", "A spill or splash of solution was told. Please call.")
        ),
        "text_failed": Cause(
            lambda _: say(
                "alert.text_failed",
                "I could not deal with a text from your site. It is kept. Please call the worker.",
            ),
            critical=True,
        ),
        "over_soaked": Cause(
            lambda subject: say(
                "alert.over_soaked",
                "{device} was left in longer than its maximum and must be inspected.",
                device=subject,
            )
        ),
    }
)
