"""Who holds the shared phone: number and PIN, masked before anything is written (S14)."""

from datetime import timedelta

import pytest

from bot.identity import Claim, check, claim_of, hash_pin
from bot.store.transaction import Store
from flows.answer import PinCheck
from flows.parts.clinic import Clinic
from flows.parts.events import DeviceUsed, HolderSignedIn, Stamped, UnverifiedFact, WrongPin
from flows.parts.state import fold_all
from flows.replies.number_and_pin import masked
from flows.replies.typed import tidy
from tests.kit.shell import ANN, NINE, PINS, SET_UP, SHARED, Shell, pin_hashes, shell

MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("body", "number", "pin"),
    [
        ("3 3141", 3, "3141"),
        (" 3  3141.", 3, "3141"),
        ("4,271828", 4, "271828"),
        ("12-4711", 12, "4711"),
        ("#3: 3141", 3, "3141"),
        ("3\n3141", 3, "3141"),
        ("3 3141\n-- \nsent from my phone", 3, "3141"),
        ("\uff13 \uff13\uff11\uff14\uff11", 3, "3141"),
        ("\u0663 \u0663\u0661\u0664\u0661", 3, "3141"),
    ],
)
def test_number_and_pin_are_read_however_they_are_typed(body: str, number: int, pin: str) -> None:
    assert claim_of(tidy(body)) == Claim(number, pin)


@pytest.mark.parametrize(
    "body", ["", "3", "3141", "3 314", "123 4711", "3 1234567", "used v1 0412", "in 21.5", "33141"]
)
def test_other_texts_are_no_sign_in(body: str) -> None:
    assert claim_of(tidy(body)) is None


@pytest.mark.parametrize(
    ("body", "below"), [("3 3141\nOUT", "OUT"), ("\n3 3141\n\nUSED V1\n0412", "USED V1\n0412")]
)
def test_number_and_pin_are_read_above_another_text(body: str, below: str) -> None:
    assert claim_of(tidy(body)) == Claim(3, "3141", below)


def test_a_claim_does_not_show_its_pin() -> None:
    claim = Claim(3, "3141")

    assert "3141" not in f"{claim!r} {claim} {claim.masked}"
    assert claim.masked == "3 ****"


@pytest.mark.parametrize(
    ("body", "kept"),
    [
        ("my pin is 3141 ok?", "my pin is **** ok?"),
        ("3-3141", "3-****"),
        ("271828", "****"),
        ("call 12025550101", "call 12025550101"),
        ("clean v1", "clean v1"),
        ("\uff13\uff11\uff14\uff11", "****"),
        ("31\u200b41 ok", "**** OK"),
    ],
)
def test_whatever_could_be_a_pin_is_masked(body: str, kept: str) -> None:
    assert masked(body) == kept


def test_a_hash_is_scrypt_and_salted() -> None:
    one, other = hash_pin("3141"), hash_pin("3141")

    assert one.startswith("scrypt:32768:8:1$")  # slow on purpose: werkzeug's own choice
    assert one != other
    assert "3141" not in one.split("$")[0]


def test_a_pin_is_only_its_own_person_s() -> None:
    clinic = shell_clinic()
    phone = clinic.phones["f3"]
    hash_of = pin_hashes().get

    said = [
        check(Claim(3, PINS["p3"]), clinic, phone, hash_of),
        check(Claim(4, PINS["p4"]), clinic, phone, hash_of),
        check(Claim(3, PINS["p4"]), clinic, phone, hash_of),
        check(Claim(9, PINS["p3"]), clinic, phone, hash_of),
        check(Claim(3, PINS["p3"]), clinic, phone, lambda _: None),
    ]

    assert said == [PinCheck("p3"), PinCheck("p4"), *[PinCheck(None)] * 3]


def shell_clinic() -> Clinic:
    return fold_all(Clinic(), (Stamped(event, NINE) for event in SET_UP))


def test_S14_whoever_shows_number_and_pin_holds_the_phone(store: Store) -> None:
    clinic = shell(store)
    asked = clinic.answers(SHARED, "menu")

    welcomed = clinic.answers(SHARED, "4 271828")
    shown = clinic.answers(SHARED, "menu")

    (signed_in,) = clinic.entries(HolderSignedIn)
    assert "Who is holding it?" in asked[0]
    assert signed_in.event == HolderSignedIn("f3", "p4", NINE)
    assert signed_in.person == "p4"
    assert "Dov" in welcomed[0]
    assert "Who is holding it?" not in shown[0]


def test_S14_a_wrong_pin_is_a_miss_and_nobody_s(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, "4 1111")

    (miss,) = clinic.entries(WrongPin)
    assert miss.person is None
    assert clinic.clinic.phones["f3"].holder is None


def keeps_quiet_about(clinic: Shell, *words: str) -> bool:
    return not any(word in clinic.everything_kept() for word in words)


@pytest.mark.parametrize("body", ["4 271828", "4 271829", "pin 271828", "271828"])
def test_S14_no_pin_is_written_right_or_wrong(store: Store, body: str) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, body)

    assert keeps_quiet_about(clinic, "271828", "271829")


def test_S14_a_pin_is_masked_in_the_shift_of_another_too(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")

    clinic.sends(SHARED, "4 271828")

    assert keeps_quiet_about(clinic, "3141", "271828")
    assert clinic.clinic.phones["f3"].holder == "p4"


@pytest.mark.parametrize("body", ["4 271828 clean v1", "Dov 271828", "4271828", "271828?"])
def test_S14_a_pin_in_a_text_that_is_no_sign_in_is_masked_whoever_holds_the_phone(
    store: Store, body: str
) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")

    clinic.sends(SHARED, body)

    assert keeps_quiet_about(clinic, "271828")


def test_on_a_phone_of_one_s_own_two_numbers_are_just_that(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(ANN, "4 271828")

    assert clinic.rows("SELECT body FROM inbox") == [("4 271828",)]
    assert clinic.entries(HolderSignedIn, WrongPin) == []


def test_S14_a_locked_phone_takes_no_pin_until_its_time_is_over(store: Store) -> None:
    clinic = shell(store)
    for _ in range(5):
        clinic.sends(SHARED, "4 1111")

    clinic.sends(SHARED, "4 271828")
    while_locked = clinic.clinic.phones["f3"].holder
    clinic.wait(16 * MINUTE)
    clinic.sends(SHARED, "4 271828")

    assert while_locked is None
    assert clinic.clinic.phones["f3"].holder == "p4"


def test_what_a_holder_types_is_kept_as_it_came(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "4 271828")

    clinic.sends(SHARED, "used v1 0412")

    assert clinic.rows("SELECT body FROM inbox ORDER BY id")[-1] == ("used v1 0412",)


@pytest.mark.parametrize("body", ["03/2027", "3/2027", "03-2027", "03 2027"])
def test_a_month_and_a_year_are_the_date_that_its_holder_is_asked_for(
    store: Store, body: str
) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "4 271828")
    clinic.answers(SHARED, "OPEN")

    heard = clinic.answers(SHARED, body)

    assert clinic.entries(WrongPin) == []
    assert "lot number" in heard[-1]


@pytest.mark.parametrize("body", ["12 34567", "12-0412", "31 032027"])
def test_a_number_that_is_nobody_s_is_a_lot_or_a_code(store: Store, body: str) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "4 271828")
    clinic.answers(SHARED, "OPEN")
    clinic.answers(SHARED, "270331")

    heard = clinic.answers(SHARED, body)

    assert clinic.entries(WrongPin) == []
    assert not any("Number or PIN" in text for text in heard)


@pytest.mark.parametrize("body", ["3 4711", "3 2077", "3-271828"])
def test_S14_a_wrong_pin_is_a_miss_whoever_holds_the_phone(store: Store, body: str) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "4 271828")

    clinic.sends(SHARED, body)

    assert len(clinic.entries(WrongPin)) == 1


@pytest.mark.parametrize("body", ["12 34567", "03/2027"])
def test_S14_where_nobody_holds_it_whatever_looks_like_a_claim_is_one(
    store: Store, body: str
) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, body)

    assert len(clinic.entries(WrongPin)) == 1


def test_S14_what_was_sent_before_its_holder_signed_in_is_nobody_s(store: Store) -> None:
    """The gateway's date says so."""
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")
    sent = clinic.clock.now()
    clinic.wait(MINUTE)
    clinic.sends(SHARED, "4 271828")
    clinic.wait(MINUTE)

    clinic.sends(SHARED, "USED V1 0412", sent_at=sent)

    (fact,) = clinic.entries(UnverifiedFact)
    assert fact.person is None
    assert "sent before you signed in" in clinic.heard(SHARED)[-1]
    assert clinic.entries(DeviceUsed) == []


def test_S7_what_stands_below_number_and_pin_is_heard(store: Store) -> None:
    clinic = shell(store)

    heard = clinic.answers(SHARED, "4 271828\nUSED V1 0412")

    (use,) = clinic.entries(DeviceUsed)
    assert (use.event.patient, use.person) == ("0412", "p4")  # type: ignore[attr-defined]
    assert heard[0] == "Hello Dov."
    assert keeps_quiet_about(clinic, "271828")


def test_S7_below_a_wrong_pin_it_is_kept_unverified(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, "4 1111\nUSED V1 0412")

    assert len(clinic.entries(WrongPin)) == len(clinic.entries(UnverifiedFact)) == 1
    assert clinic.entries(DeviceUsed) == []
    assert keeps_quiet_about(clinic, "1111")


@pytest.mark.parametrize(
    "body",
    [
        *("V1 cover torn 4 271828", "USED V1 0412 4 271828", "USED V1 0412 pin 271828"),
        *("FAULT V1 271828", "FAULT V1, number 4, pin is 271828", "USED V1 4-271828 0412"),
        *("V1 OUT\n4\n271828", "blood in T1 4271828", "TOPPED T1 27\u200b1828"),
    ],
)
def test_S14_no_pin_beside_an_unverified_fact_is_written(store: Store, body: str) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, body)

    assert len(clinic.entries(UnverifiedFact)) == 1
    assert keeps_quiet_about(clinic, "271828")


def test_S16_the_code_right_behind_USED_is_kept_for_whoever_asks(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, "USED V1 0412 4 271828")

    assert clinic.rows("SELECT body FROM free_text") == [("USED V1 0412 4 ****",)]


@pytest.mark.parametrize(
    "body",
    [
        *("USED V1 0412 4 271828", "USED V1 Mary pin 271828", "FAULT V1 4 271828"),
        *("USED V9 4 271828", "CLEAN V1 4 271828", "FAULT V1 by 271828"),
    ],
)
def test_S14_no_pin_is_written_behind_a_command_of_who_holds_it(store: Store, body: str) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")

    clinic.sends(SHARED, body)

    assert "271828" not in str(clinic.rows("SELECT body FROM inbox"))
    assert "271828" not in str(clinic.rows("SELECT body FROM free_text"))


@pytest.mark.parametrize(
    "body",
    [
        *(
            "4 271828 CLEAN V1",
            "4 271828\nCLEAN V1",
            "pin 4 271828 clean v1",
            "4 pin 271828 CLEAN V1",
        ),
        "Hello, number 4, PIN: 271828. CLEAN V1",
    ],
)
def test_S7_what_follows_number_and_pin_is_heard(store: Store, body: str) -> None:
    clinic = shell(store)

    heard = clinic.answers(SHARED, body)

    assert clinic.clinic.phones["f3"].holder == "p4"
    assert heard[0] == "Hello Dov."
    assert heard[1].startswith("Gloves, goggles, gown")
    assert keeps_quiet_about(clinic, "271828")


@pytest.mark.parametrize(
    "body", ["4 271828 ok", "4 271828 thanks", "4 271828 Dov", "pin 4 271828", "4 pin 271828"]
)
def test_S14_small_words_around_number_and_pin_change_nothing(store: Store, body: str) -> None:
    clinic = shell(store)

    (heard,) = clinic.answers(SHARED, body)

    assert clinic.clinic.phones["f3"].holder == "p4"
    assert heard.startswith("Hello Dov. Now send your text again")


def test_S14_a_wrong_pin_with_more_behind_it_is_a_miss_too(store: Store) -> None:
    """Else a colleague's PIN could be guessed for ever, unseen."""
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")

    clinic.sends(SHARED, "4 111111 ok")

    assert len(clinic.entries(WrongPin)) == 1
