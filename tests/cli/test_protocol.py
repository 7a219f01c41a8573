"""Protocols read at the command line: listed, shown with their sources, checked, compared."""

from importlib.resources import files
from pathlib import Path

import pytest

from tests.kit.desk import Desk, set_up

SHIPPED = Path(str(files("flows.protocols")))
OPA = SHIPPED / "chemistries" / "opa_055.toml"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Without a store: none of these but `show --site` needs one."""
    return Desk(f"sqlite:///{tmp_path / 'none.db'}")


@pytest.fixture
def hill(database: str) -> Desk:
    made = Desk(database)
    set_up(made)
    return made


def indented_after(text: str, line: str) -> list[str]:
    """The lines that stand under *line*, up to the next that is indented no deeper."""
    lines = text.splitlines()
    start = lines.index(line) + 1
    depth = len(line) - len(line.lstrip())
    under = []
    for each in lines[start:]:
        if len(each) - len(each.lstrip()) <= depth:
            break
        under.append(each.strip())
    return under


def test_the_list_has_what_a_disinfectant_is_chosen_by(desk: Desk) -> None:
    """12 min at 20 C, MEC 0.3 %, 14 days. Source: CDC/HICPAC 2008, Table 4."""
    told = desk.reads("protocol", "list")

    opa = (
        "opa_055           OPA 0.55 %: 12 min at 20 C or more, MEC 0.3 %, used for 14 days, "
        "bath_before_each_use"
    )
    assert indented_after(told, opa) == ["allowed on: handheld_probe, plastic_probe, sealed_probe"]
    assert "hp_strip_6        HP strip 6 %" in told.splitlines()


def test_the_list_says_what_no_cycle_is_led_with_and_why(desk: Desk) -> None:
    told = desk.reads("protocol", "list").splitlines()

    (glutaral,) = [at for at, line in enumerate(told) if line.startswith("ga_24 ")]
    assert told[glutaral + 1].strip() == "allowed on: sealed_probe"
    assert told[glutaral + 2].strip() == (
        "no cycle yet: ga_24.toml: strips names none: no strip with published times was found; "
        "add that of the bottle in hand."
    )
    (led,) = [at for at, line in enumerate(told) if line.startswith("ga_30 ")]
    assert told[led + 1].strip() == "allowed on: sealed_probe"
    assert not told[led + 2].strip().startswith("no cycle yet")


def test_a_product_is_shown_with_every_source_and_how_good_it_is(desk: Desk) -> None:
    told = desk.reads("protocol", "show", "opa_055")

    assert told.startswith("opa_055: OPA 0.55 % (chemistries)\n")
    (contact,) = indented_after(told, "  contact_time = 12 min")
    assert contact.startswith("published: CDC/HICPAC")
    assert indented_after(told, "  bell_margin = 1 min") == [
        "usual: common practice, none published"
    ]
    assert indented_after(told, "  rinse_count = 3") == [
        "remembered: from memory: product instructions"
    ]


@pytest.mark.parametrize("path", sorted(SHIPPED.glob("*/*.toml")), ids=lambda path: path.stem)
def test_whatever_is_on_the_shelf_can_be_shown(desk: Desk, path: Path) -> None:
    assert desk.reads("protocol", "show", path.stem).startswith(f"{path.stem}: ")


def test_both_sides_of_a_dispute_are_shown_with_their_sources(desk: Desk) -> None:
    told = desk.reads("protocol", "show", "opa_055").splitlines()

    disputed = {
        line.strip(): told[at + 1].strip()
        for at, line in enumerate(told)
        if line.startswith("  In dispute: HPV")
    }
    assert len(disputed) == 2
    against, supporting = disputed
    assert "did not inactivate" in against
    assert "2014;69:1546" in disputed[against]
    assert "log kill" in supporting


def test_a_site_s_own_figure_is_shown_beside_the_published_one_with_its_reason(
    hill: Desk,
) -> None:
    hill.reads("choose", "opa_055", "contact_time", "8 min", "--reason", "A national label.")
    hill.reads("choose", "opa_055", "rinse_count", "4")

    told = hill.reads("protocol", "show", "opa_055", "--site", "hill")

    assert indented_after(told, "  contact_time = 12 min")[-1] == (
        "this site: 8 min; because: A national label."
    )
    assert indented_after(told, "  rinse_count = 3")[-1] == "this site: 4; no reason owed"
    assert "this site" not in hill.reads("protocol", "show", "opa_055")


def test_a_product_that_is_not_there_is_named(desk: Desk) -> None:
    assert desk.fails("protocol", "show", "opa") == [
        "There is no product opa. See: soakbell protocol list"
    ]


def test_a_site_that_is_not_there_is_named(hill: Desk) -> None:
    assert hill.fails("protocol", "show", "opa_055", "--site", "coast") == [
        "There is no site coast here. There are: hill."
    ]


# -- check --------------------------------------------------------------------------------------


def copied(
    tmp_path: Path, text: str, name: str = "opa_055.toml", room: str = "chemistries"
) -> Path:
    folder = tmp_path / room
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def test_the_shipped_files_check_as_sound(desk: Desk) -> None:
    many = len(list(SHIPPED.rglob("*.toml")))

    assert desk.reads("protocol", "check", str(SHIPPED)) == (
        f"{many} checked, nothing is wrong.\n"
    )
    assert desk.reads("protocol", "check", str(OPA)) == "Nothing is wrong.\n"


def test_each_problem_is_a_line_of_file_key_and_reason(desk: Desk, tmp_path: Path) -> None:
    broken = OPA.read_text(encoding="utf-8").replace('"12 min"', '"12"').replace("mec =", "mek =")

    lines = desk.fails("protocol", "check", str(copied(tmp_path, broken)), code=2)

    assert lines == [
        "opa_055.toml: contact_time is written '12'; write it like 12 min.",
        "opa_055.toml: mec is missing; add it, for example 0.3 %.",
        "opa_055.toml: mek is not a key; mec is.",
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"name = = 3\n", "name cannot be read as TOML: "),
        (b"name = 'x'\nname = 'y'\n", "name cannot be read as TOML: "),
        (b"[cover\n", "line cannot be read as TOML: "),
        (b"no key = 3\n", "line cannot be read as TOML: "),
        (b"name = '\xff'\n", "line cannot be read as UTF-8: "),
        (b"", "name is missing, as is all else: the file is empty."),
        (b"# nothing yet\n", "name is missing, as is all else: the file is empty."),
    ],
)
def test_what_is_no_toml_is_said_of_the_file_and_of_the_key_it_breaks_at(
    desk: Desk, tmp_path: Path, content: bytes, said: str
) -> None:
    path = tmp_path / "opa_055.toml"
    path.write_bytes(content)

    (line,) = desk.fails("protocol", "check", str(path), code=2)

    assert line.startswith(f"opa_055.toml: {said}")


def test_a_file_that_an_editor_has_put_its_mark_before_is_read_all_the_same(
    desk: Desk, tmp_path: Path
) -> None:
    """EF BB BF. Source: RFC 3629, section 6."""
    path = tmp_path / "opa_055.toml"
    path.write_bytes(b"\xef\xbb\xbf" + OPA.read_bytes())

    assert desk.reads("protocol", "check", str(path)) == "Nothing is wrong.\n"


def test_a_whole_file_that_has_lost_its_name_is_asked_for_it(desk: Desk, tmp_path: Path) -> None:
    whole = (SHIPPED / "chemistries" / "opa_055.toml").read_text(encoding="utf-8")
    copied(tmp_path, whole.replace('name = "opa_055"\n', ""), "opa_055.toml", "chemistries")

    (line,) = desk.fails("protocol", "check", str(tmp_path), code=2)

    assert line == "opa_055.toml: name is missing; add it, for example opa_055."


def test_a_broken_file_hides_nothing_that_is_wrong_in_another(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "own_99.toml").write_text("= 3\n", encoding="utf-8")
    probe = (SHIPPED / "devices" / "sealed_probe.toml").read_text(encoding="utf-8")
    named = probe.replace("sealed_probe", "own_probe").replace('"ga_24"', '"ga_99", "own_99"')
    copied(tmp_path, named, "own_probe.toml", "devices")

    lines = desk.fails("protocol", "check", str(tmp_path), code=2)

    assert [line.partition(" cannot")[0] for line in lines] == [
        "own_99.toml: line",
        "own_probe.toml: chemistries names ga_99; there is no such file.",
    ]


@pytest.mark.parametrize("written", ["5 min", "6 min", "1 s"])
def test_S2_no_reason_makes_a_machines_contact_time_a_soak_by_hand(
    desk: Desk, tmp_path: Path, written: str
) -> None:
    own = f'contact_time = {{ value = "{written}", source = "a label", reason = "it says so" }}\n'
    (tmp_path / "opa_055.toml").write_text(own, encoding="utf-8")

    (line,) = desk.fails("protocol", "check", str(tmp_path), code=2)

    assert line == (
        "opa_055.toml: contact_time is shorter than any published soak by hand, 7 min; "
        "machines' figures are not taken."
    )


def test_S12_a_sites_own_maximum_that_ends_before_the_bell_is_refused(
    desk: Desk, tmp_path: Path
) -> None:
    own = 'maximum_soak = { value = "10 min", source = "a label" }\n'
    (tmp_path / "opa_055.toml").write_text(own, encoding="utf-8")

    (line,) = desk.fails("protocol", "check", str(tmp_path), code=2)

    assert line == "opa_055.toml: maximum_soak is over before the bell; raise it."


def test_a_folder_is_checked_whole_and_beside_what_is_shipped(desk: Desk, tmp_path: Path) -> None:
    probe = (SHIPPED / "devices" / "sealed_probe.toml").read_text(encoding="utf-8")
    named = probe.replace("sealed_probe", "own_probe").replace('"ga_24"', '"ga_99"')
    copied(tmp_path, named, "own_probe.toml", "devices")

    lines = desk.fails("protocol", "check", str(tmp_path), code=2)

    assert lines == ["own_probe.toml: chemistries names ga_99; there is no such file."]


def test_outside_its_room_a_file_is_known_by_its_keys(desk: Desk, tmp_path: Path) -> None:
    probe = (SHIPPED / "devices" / "sealed_probe.toml").read_text(encoding="utf-8")
    path = copied(tmp_path, probe, "sealed_probe.toml", "mine")

    assert desk.reads("protocol", "check", str(path)) == "Nothing is wrong.\n"


def test_a_site_s_own_file_is_checked_against_what_is_published(
    desk: Desk, tmp_path: Path
) -> None:
    own = tmp_path / "opa_055.toml"
    own.write_text('contact_time = { value = "8 min", source = "a label" }\n', encoding="utf-8")
    (line,) = desk.fails("protocol", "check", str(own), code=2)
    own.write_text(
        'contact_time = { value = "8 min", source = "a label", reason = "a national label" }\n',
        encoding="utf-8",
    )

    assert line == (
        "opa_055.toml: contact_time is 8 min, the published figure is 12 min; "
        "add a reason or raise it."
    )
    assert desk.reads("protocol", "check", str(own)) == "Nothing is wrong.\n"


def test_a_whole_file_that_asks_less_than_the_shipped_one_of_its_name_owes_reasons(
    desk: Desk, tmp_path: Path
) -> None:
    """12 min, 14 days. Source: CDC/HICPAC 2008, Table 4."""
    laxer = OPA.read_text(encoding="utf-8").replace('"12 min"', '"7 min"')
    laxer = laxer.replace(
        'reuse_life_days = { value = "14 days"', 'reuse_life_days = { value = "60 days"'
    )
    explained = laxer.replace('"7 min",', '"7 min", reason = "a national label",')
    explained = explained.replace('"60 days",', '"60 days", reason = "a national label",')

    lines = desk.fails("protocol", "check", str(copied(tmp_path, laxer)), code=2)

    contact, reuse = lines
    assert contact == (
        "opa_055.toml: contact_time is 7 min, the published figure is 12 min; "
        "add a reason or raise it."
    )
    assert reuse == (
        "opa_055.toml: reuse_life_days is 60 days, the published figure is 14 days; "
        "add a reason or lower it."
    )
    assert desk.reads("protocol", "check", str(copied(tmp_path, explained))) == (
        "Nothing is wrong.\n"
    )


def test_a_whole_file_that_makes_less_harmless_than_the_shipped_one_owes_reasons_too(
    desk: Desk, tmp_path: Path
) -> None:
    """At least 25 g a US gallon, 6.61 g/l, 1 h at least. From memory: product instructions."""
    laxer = OPA.read_text(encoding="utf-8").replace('"6.7 g/l",', '"1 g/l",')
    laxer = laxer.replace(
        'neutralise_for = { value = "1 h",', 'neutralise_for = { value = "5 min",'
    )
    other = OPA.read_text(encoding="utf-8").replace('value = "glycine"', 'value = "water"')

    amount, span = desk.fails("protocol", "check", str(copied(tmp_path, laxer)), code=2)
    _, stirred_in = desk.reads("protocol", "check", str(copied(tmp_path, other))).splitlines()

    assert amount == (
        "opa_055.toml: neutraliser_g_per_l is 1 g/l, the remembered figure is 6.7 g/l; "
        "add a reason or raise it."
    )
    assert span.startswith("opa_055.toml: neutralise_for is 5 min, the remembered figure is 1 h; ")
    assert stirred_in.startswith(
        "opa_055.toml: neutraliser is water, in the shipped opa_055 it is glycine. "
    )


def test_a_whole_file_with_other_facts_than_the_shipped_one_of_its_name_is_told_so(
    desk: Desk, tmp_path: Path
) -> None:
    """0.3 %. Source: CDC/HICPAC 2008, Table 4."""
    weaker = OPA.read_text(encoding="utf-8").replace(
        'mec = { value = "0.3 %"', 'mec = { value = "0.2 %"'
    )
    path = copied(tmp_path, weaker)

    sound, other = desk.reads("protocol", "check", str(path)).splitlines()

    assert sound == "Nothing is wrong."
    assert other == (
        "opa_055.toml: mec is 0.2 %, in the shipped opa_055 it is 0.3 %. "
        "If yours is another product, give it another name."
    )


def test_a_thing_of_another_kind_is_not_held_against_the_product_of_its_name(
    desk: Desk, tmp_path: Path
) -> None:
    cover = (SHIPPED / "covers" / "towel_cover.toml").read_text(encoding="utf-8")
    path = copied(tmp_path, cover.replace("towel_cover", "opa_055"), room="covers")

    assert desk.reads("protocol", "check", str(path)) == "Nothing is wrong.\n"


def test_a_folder_without_protocols_is_a_mistake(desk: Desk, tmp_path: Path) -> None:
    (line,) = desk.fails("protocol", "check", str(tmp_path))

    assert line.endswith("holds no file that ends in .toml.")


# -- compare ------------------------------------------------------------------------------------


def test_two_products_stand_side_by_side_and_the_stricter_is_named(desk: Desk) -> None:
    """OPA 12 min for 14 days, peroxide 7.5 % 30 min for 21 days, both without activation.
    Source: CDC/HICPAC 2008, Table 4."""
    told = desk.reads("protocol", "compare", "opa_055", "hp_75").splitlines()

    assert told[0] == "figure: opa_055 | hp_75 | which is stricter"
    assert {
        "contact_time: 12 min | 30 min | hp_75 is stricter",
        "reuse_life_days: 14 days | 21 days | opa_055 is stricter",
        "activation_needed: no | no | the same",
        "mec: 0.3 % | 6 % | different",
    } <= set(told)


def test_a_file_is_compared_with_the_shipped_one_of_its_name(desk: Desk, tmp_path: Path) -> None:
    path = copied(tmp_path, OPA.read_text(encoding="utf-8").replace('"12 min"', '"15 min"'))

    told = desk.reads("protocol", "compare", "opa_055", str(path)).splitlines()

    assert f"contact_time: 12 min | 15 min | {path} is stricter" in told


def test_of_two_tables_each_may_be_stricter_somewhere(desk: Desk, tmp_path: Path) -> None:
    """The tables are invented."""

    def tabled(table: str, room: str) -> Path:
        text = OPA.read_text(encoding="utf-8")
        old = 'contact_time_warmer = { value = "none"'
        assert old in text
        return copied(tmp_path, text.replace(old, old.replace("none", table)), room=room)

    one, other = tabled("25 C: 10 min", "one"), tabled("22 C: 11 min, 28 C: 8 min", "other")

    told = desk.reads("protocol", "compare", str(one), str(other)).splitlines()

    (row,) = [line for line in told if line.startswith("contact_time_warmer: ")]
    assert row.split(" | ") == [
        "contact_time_warmer: 25 C: 10 min",
        "22 C: 11 min, 28 C: 8 min",
        "each is stricter somewhere",
    ]


def test_things_of_two_kinds_are_not_compared(desk: Desk) -> None:
    assert desk.fails("protocol", "compare", "opa_055", "enzymatic") == [
        "opa_055 is one of chemistries, enzymatic one of detergents. Compare two of one kind."
    ]


def test_a_bad_file_is_not_compared(desk: Desk, tmp_path: Path) -> None:
    path = copied(tmp_path, 'name = "opa_055"\n')

    lines = desk.fails("protocol", "compare", "opa_055", str(path), code=2)

    assert lines[0] == "opa_055.toml: title is missing; add it, for example OPA 0.55 %."


# -- where a protocol is chosen -----------------------------------------------------------------


def test_whoever_enrols_a_device_is_told_what_it_is_soaked_in_and_that_it_is_disputed(
    hill: Desk,
) -> None:
    told = hill.reads("device", "add", "V2", "sealed_probe").splitlines()

    assert told == [
        "V2 is enrolled, and NOT READY until it has been cleaned.",
        (
            "It is soaked in OPA 0.55 %. Its figures, and 3 open questions about it: "
            "soakbell protocol show opa_055"
        ),
    ]


def test_whoever_chooses_a_disinfectant_for_a_model_reads_what_is_in_dispute(hill: Desk) -> None:
    told = hill.reads("choose", "handheld_probe", "chemistry", "opa_055").splitlines()

    assert told[0] == "handheld_probe.chemistry is opa_055 from the next cycle on."
    assert len([line for line in told if line.startswith("  In dispute: HPV")]) == 2
    shown = hill.reads("protocol", "show", "handheld_probe", "--site", "hill")
    assert "  Soaked at this site in opa_055" in shown.splitlines()


@pytest.mark.parametrize(
    ("model", "chemistry"),
    [("sealed_probe", "ga_30"), ("sealed_probe", "hp_75"), ("plastic_probe", "chlorine_01")],
)
def test_what_a_cycle_can_be_led_with_is_chosen_where_the_maker_allows_it(
    hill: Desk, model: str, chemistry: str
) -> None:
    hill.reads("choose", model, "chemistry", chemistry)

    shown = hill.reads("protocol", "show", model, "--site", "hill")

    assert f"  Soaked at this site in {chemistry}" in shown.splitlines()
    assert "No cycle yet" not in hill.reads("protocol", "show", chemistry)


@pytest.mark.parametrize(
    ("model", "chemistry", "reason"),
    [
        (
            "handheld_probe",
            "hp_75",
            "handheld_probe.chemistries does not name hp_75; its maker has not allowed it.",
        ),
        (
            "sealed_probe",
            "ga_24",
            "ga_24.strips names none: no strip with published times was found",
        ),
        ("sealed_probe", "soap", "site.chemistry is soap; known are: "),
        ("opa_055", "opa_055", "product is opa_055; a disinfectant is chosen for one of "),
    ],
)
def test_a_disinfectant_that_cannot_be_used_on_it_is_not_chosen(
    hill: Desk, model: str, chemistry: str, reason: str
) -> None:
    first, *_ = hill.fails("choose", model, "chemistry", chemistry)

    assert f"choice: {reason}" in first
    assert "Soaked" not in hill.reads("protocol", "show", "sealed_probe", "--site", "hill")
