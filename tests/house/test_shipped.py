"""What is compared with the wheel is every file, not only the code."""

import zipfile
from pathlib import Path

from tests.house.shipped import differences

TREE = {
    "flows/__init__.py": '"""x."""\n',
    "flows/protocols/strips/plain.toml": "",
    "bot/web/templates/phone.html": "<p>",
}


def planted(folder: Path) -> Path:
    for name, text in TREE.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    return folder


def packed(folder: Path, held: dict[str, str]) -> Path:
    wheel = folder / "soakbell.whl"
    with zipfile.ZipFile(wheel, "w") as file:
        for name, text in held.items():
            file.writestr(name, text)
    return wheel


def test_a_wheel_that_holds_everything_as_it_stands_has_no_difference(tmp_path: Path) -> None:
    wheel = packed(tmp_path, TREE | {"soakbell-0.1.0.dist-info/METADATA": "Name: soakbell"})

    assert differences(wheel, planted(tmp_path)) == []


def test_a_file_left_out_changed_or_added_is_named(tmp_path: Path) -> None:
    held = TREE | {"bot/web/templates/phone.html": "<b>", "bot/stray.txt": ""}
    del held["flows/protocols/strips/plain.toml"]

    assert differences(packed(tmp_path, held), planted(tmp_path)) == [
        "bot/stray.txt",
        "bot/web/templates/phone.html",
        "flows/protocols/strips/plain.toml",
    ]
