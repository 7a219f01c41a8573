"""S14, S15: names, numbers and PINs go where they can be erased, and nowhere else."""

from dataclasses import replace

import pytest
from werkzeug.security import check_password_hash

from bot.identity import hash_pin
from bot.registers.add import NotSetUp, Standing, Wanted, add, standing
from bot.registers.change import erase_person, set_level
from bot.registers.spreadsheet import read_sheets
from bot.store.people import Known, names_of, pin_hash_of, text_of
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Level
from flows.parts.events import Event, PersonEnrolled, PhoneEnrolled, SiteChoiceMade, Stamped
from flows.parts.state import fold_all
from tests.kit.record import write
from tests.kit.sheets import ANN, MOMENT, SITE, added, district, hashed, row
from tests.kit.shell import shell

BO = ANN | {"number": "2", "name": "Bo"}
PHONE = "+12025550101"


def of_kind(events: tuple[Event, ...], kind: type[Event]) -> list[Event]:
    return [event for event in events if isinstance(event, kind)]


def test_one_number_beside_two_people_is_a_shared_phone() -> None:
    made = added(
        people=(
            row(**ANN, phone=PHONE, pin="3141"),
            row(**BO, phone="+1 202 555 0101", pin="2718"),
        )
    )

    (phone,) = of_kind(made.events, PhoneEnrolled)
    people = [each.person for each in made.names]
    assert phone == PhoneEnrolled(made.numbers[0].phone, tuple(people), shared=True)
    assert [each.number for each in made.numbers] == [PHONE]


def test_S14_everybody_on_a_shared_phone_has_a_pin() -> None:
    with pytest.raises(NotSetUp, match="pin is missing for number 2, who shares a phone"):
        added(people=(row(**ANN, phone=PHONE, pin="3141"), row(**BO, phone=PHONE)))


def test_a_phone_that_is_there_already_takes_another_person() -> None:
    first = added(people=(row(**ANN, phone=PHONE, pin="3141"), row(**BO, pin="2718")))
    stands = replace(
        first_stands(first.events, *(each.person for each in first.names)),
        whose=lambda _: Known(SITE, first.numbers[0].phone),
    )

    made = added(stands, phones=(row(number=PHONE, people="2"),))

    ann, bo = (each.person for each in first.names)
    assert of_kind(made.events, PhoneEnrolled) == [
        PhoneEnrolled(first.numbers[0].phone, (ann, bo), shared=True)
    ]
    assert made.numbers == ()


def first_stands(events: tuple[Event, ...], *people: str) -> Standing:
    clinic = fold_all(Clinic(), (Stamped(event, MOMENT.now) for event in events))
    return Standing(clinic, frozenset(people), frozenset(people))


def test_a_number_of_another_site_is_refused() -> None:
    stands = Standing(whose=lambda _: Known("valley", "ph1"))

    with pytest.raises(NotSetUp, match="phone is enrolled at valley"):
        added(stands, people=(row(**ANN, phone=PHONE),))


def test_two_people_never_have_one_number() -> None:
    with pytest.raises(NotSetUp, match="number is 1, which somebody has or had"):
        added(people=(row(**ANN), row(**(ANN | {"name": "Bo"}))))


def test_a_trainee_may_not_release() -> None:
    with pytest.raises(NotSetUp, match="a trainee cannot release"):
        added(people=(row(**(ANN | {"role": "trainee"})),))


def test_S15_the_record_of_a_whole_district_holds_no_name_number_pin_or_reason(
    store: Store,
) -> None:
    bot = shell(store)
    sheets = {name: text.replace("+1202", "+1303") for name, text in district().items()}

    for site, wanted in read_sheets(sheets).items():
        made = add(site, wanted, MOMENT, standing(store, site), hash_pin)
        bot.exchange.set_up(site, made.events, made.keep)

    bodies = "\n".join(body for (body,) in bot.rows("SELECT body FROM entry"))
    kept = bot.everything_kept()
    personal = ["Adira", "Elmar", "+13035550109", "nurse trainer"]
    assert [each for each in (*personal, "3141", "2718") if each in bodies] == []
    assert [each for each in personal if each not in kept] == []


def test_S14_a_pin_is_kept_by_its_slow_hash_alone(store: Store) -> None:
    write(store, (), SITE)
    made = added(people=(row(**ANN, pin="271828"),))
    slow = add(
        SITE, Wanted(people=(row(**ANN, pin="271828"),)), MOMENT, first_stands(made.events[:1])
    )

    with store.write() as connection:
        slow.keep(connection)
        hashed_pin = pin_hash_of(connection, SITE, slow.names[0].person)

    assert hashed_pin is not None
    assert hashed_pin.startswith("scrypt:")
    assert check_password_hash(hashed_pin, "271828")


def test_S15_a_reason_is_in_the_record_by_the_digest_of_words_that_can_be_erased(
    store: Store,
) -> None:
    made = added(
        choices=(
            row(product="opa_055", key="reuse_life_days", value="15 days", reason="No jug came"),
        )
    )
    write(store, (), SITE)
    with store.write() as connection:
        made.keep(connection)

    (choice,) = of_kind(made.events, SiteChoiceMade)
    assert isinstance(choice, SiteChoiceMade)
    with store.read() as connection:
        assert text_of(connection, SITE, choice.reason) == "No jug came"


def test_S15_an_erased_person_leaves_an_id_that_leads_to_nobody(store: Store) -> None:
    bot = shell(store)
    stands = standing(store, SITE)

    gone = erase_person(SITE, 3, MOMENT, stands)
    bot.exchange.set_up(SITE, gone.events, gone.keep)

    with store.read() as connection:
        assert "p3" not in names_of(connection, SITE)
        assert pin_hash_of(connection, SITE, "p3") is None
    assert bot.clinic.phones["f3"].people == ("p4",)
    assert not bot.clinic.people["p3"].may_release


def test_a_phone_of_ones_own_goes_with_its_person_and_a_shared_one_stays(store: Store) -> None:
    bot = shell(store)

    for number in (1, 4):
        gone = erase_person(SITE, number, MOMENT, standing(store, SITE))
        bot.exchange.set_up(SITE, gone.events, gone.keep)

    assert sorted(bot.rows("SELECT id FROM phone")) == [("f3",), ("f9",)]


def test_who_cleans_at_this_moment_is_not_erased(store: Store) -> None:
    bot = shell(store)
    bot.sends("+12025550101", "CLEAN V1")

    with pytest.raises(NotSetUp, match="number is 1, who has V1 in hand"):
        erase_person(SITE, 1, MOMENT, standing(store, SITE))


def test_a_level_changes_and_nothing_else_of_the_person(store: Store) -> None:
    bot = shell(store)
    before = bot.clinic.people["p1"]

    made = set_level(SITE, 1, Level.BRIEF, MOMENT, standing(store, SITE))
    bot.exchange.set_up(SITE, made.events, made.keep)

    assert bot.clinic.people["p1"] == replace(before, level=Level.BRIEF)


def test_a_person_who_is_not_there_is_named(store: Store) -> None:
    shell(store)

    with pytest.raises(NotSetUp, match="hill: number is 7, and nobody here has that number"):
        set_level(SITE, 7, Level.BRIEF, MOMENT, standing(store, SITE))


def test_a_site_that_is_not_open_takes_nobody() -> None:
    with pytest.raises(NotSetUp, match="hill: site is not open here"):
        add(SITE, Wanted(people=(row(**ANN),)), MOMENT, hashed=hashed)


def test_ids_say_nothing_about_people() -> None:
    made = added(people=(row(**ANN, phone=PHONE),))

    person = of_kind(made.events, PersonEnrolled)[0]
    assert isinstance(person, PersonEnrolled)
    assert len(person.person) == 10
    assert PHONE.removeprefix("+") not in repr(made)
    assert "Ann" not in repr(made)
