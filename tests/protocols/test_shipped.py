"""The shipped protocols all load and name each other; a bad file is found at once."""

from pathlib import Path

import pytest

from flows.protocols import BadProtocols, shelf_of, shipped
from flows.protocols.figures import GSM_SAFE
from tests.protocols import kit


def test_the_shipped_files_load_by_name() -> None:
    shelf = shipped()

    assert "opa_055" in shelf.chemistries
    assert "opa_strip_1s_90s" in shelf.strips
    assert "handheld_probe" in shelf.devices
    assert "enzymatic" in shelf.detergents
    assert "towel_cover" in shelf.covers


def test_they_are_read_once() -> None:
    assert shipped() is shipped()


def test_no_name_is_used_twice_so_that_a_choice_means_one_product() -> None:
    shelf = shipped()
    names = [
        name
        for kind in (
            shelf.chemistries,
            shelf.strips,
            shelf.devices,
            shelf.detergents,
            shelf.covers,
        )
        for name in kind
    ]

    assert len(set(names)) == len(names)
    assert all(shelf.product(name) is not None for name in names)
    assert shelf.product("nothing") is None


def test_every_strip_device_and_cover_that_is_named_has_its_file() -> None:
    shelf = shipped()

    for chemistry in shelf.chemistries.values():
        assert set(chemistry.strips) <= set(shelf.strips)
    for strip in shelf.strips.values():
        assert set(strip.chemistries) <= set(shelf.chemistries)
    for device in shelf.devices.values():
        assert set(device.chemistries) <= set(shelf.chemistries)
        assert set(device.covers) <= set(shelf.covers)


def shelf_folder(root: Path, **extra: str) -> Path:
    for room in ("chemistries", "strips", "devices", "detergents", "covers"):
        (root / room).mkdir()
    for path, text in extra.items():
        (root / path.replace("__", "/")).with_suffix(".toml").write_text(text, encoding="utf-8")
    return root


def test_every_bad_file_is_named_in_one_error(tmp_path: Path) -> None:
    folder = shelf_folder(
        tmp_path,
        covers__bag='name = "bag"\ntitle = "bag"\n',
        detergents__soap="name = = 3\n",
    )

    with pytest.raises(BadProtocols) as raised:
        shelf_of(folder)

    first, second = str(raised.value).splitlines()
    assert first.startswith("soap.toml: name cannot be read as TOML: ")
    assert second == "bag.toml: hang_time is missing; add it, for example 12 min or none."
    assert len(raised.value.problems) == 2


def test_a_product_is_added_by_adding_its_file(tmp_path: Path) -> None:
    bag = 'name = "bag"\ntitle = "bag"\nhang_time = { value = "7 days", source = "a label" }\n'

    shelf = shelf_of(shelf_folder(tmp_path, covers__bag=bag))

    assert list(shelf.covers) == ["bag"]


def test_words_for_texts_are_one_septet_a_character() -> None:
    chemistry = kit.cycle_protocol().chemistry

    assert set(chemistry.title + chemistry.disposal + chemistry.shelf) <= set(GSM_SAFE)
