"""Today's protocol: what is shipped, with the site's choices laid over it."""

from datetime import timedelta

import pytest

from bot.protocols import selection_for, today
from flows.parts.clinic import Choice, Clinic, Site
from flows.protocols import BadProtocols
from flows.protocols.model import Selection

MODEL = "handheld_probe"


def site(*choices: Choice) -> Clinic:
    return Clinic(site=Site("hill", "Etc/UTC", "17:00", "en", None, choices))


def test_without_choices_it_is_what_is_shipped() -> None:
    assert today(site())(MODEL).deviations == ()
    assert today(site())(MODEL) == today(Clinic())(MODEL)


def test_a_device_gets_a_disinfectant_that_its_maker_allows_and_a_strip_made_for_it() -> None:
    assert selection_for(MODEL) == Selection("opa_055", "opa_strip_1s_90s", MODEL, "enzymatic")


def test_a_site_s_choice_is_laid_over_it() -> None:
    longer = Choice("opa_055", "contact_time", "15 min", "our own rule")

    protocol = today(site(longer))(MODEL)

    assert protocol.chemistry.contact_time == timedelta(minutes=15)


def test_a_site_chooses_which_allowed_disinfectant_a_model_is_soaked_in() -> None:
    other = Choice(MODEL, "chemistry", "hp_75", "")
    back = Choice(MODEL, "chemistry", "opa_055", "")

    assert selection_for(MODEL, (other,)) == Selection("hp_75", "hp_strip_6", MODEL, "enzymatic")
    assert selection_for(MODEL, (other, back)).chemistry == "opa_055"
    assert selection_for("sealed_probe", (other,)).chemistry == "opa_055"
    assert today(site(back))(MODEL) == today(site())(MODEL)


def test_a_disinfectant_that_its_maker_has_not_allowed_is_no_protocol() -> None:
    other = Choice(MODEL, "chemistry", "hp_75", "why not")

    with pytest.raises(BadProtocols, match="its maker has not allowed it"):
        today(site(other))(MODEL)


def test_a_choice_that_is_not_allowed_is_refused_with_its_reason() -> None:
    shorter = Choice("opa_055", "contact_time", "5 min", "")

    with pytest.raises(BadProtocols, match="contact_time"):
        today(site(shorter))(MODEL)


def test_a_model_that_nobody_has_described_is_unknown() -> None:
    with pytest.raises(KeyError):
        today(site())("another")
