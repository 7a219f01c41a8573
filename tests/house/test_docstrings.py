"""Every file says what it is; where figures are held, every public function says what it means."""

from pathlib import Path

from tests.house.tree import ROOT, SOURCE_ROOMS, first_line, functions, modules

ROOMS_THAT_HOLD_FIGURES = (
    "flows/rules",
    "flows/calculations",
    "flows/protocols",
    "flows/replies",
)


def silent_files(root: Path) -> list[str]:
    return [
        str(path.relative_to(root))
        for path in modules(root, *SOURCE_ROOMS, "tests")
        if not first_line(path)
    ]


def silent_functions(root: Path) -> list[str]:
    return [
        f"{path.relative_to(root)}:{function.line}: {function.name}"
        for path in modules(root, *ROOMS_THAT_HOLD_FIGURES)
        for function in functions(path)
        if function.is_top_level and not function.name.startswith("_") and not function.docstring
    ]


def test_every_file_says_what_it_is() -> None:
    assert silent_files(ROOT) == []


def test_every_public_function_that_holds_figures_says_what_it_means() -> None:
    assert silent_functions(ROOT) == []


def test_a_file_without_a_word_is_found(tmp_path: Path) -> None:
    rules = tmp_path / "flows" / "rules"
    rules.mkdir(parents=True)
    (rules / "__init__.py").write_text("")
    (rules / "soak.py").write_text('"""S2: how long."""\n')

    assert silent_files(tmp_path) == ["flows/rules/__init__.py"]


def test_a_public_function_without_a_word_is_found_and_a_private_one_is_let_be(
    tmp_path: Path,
) -> None:
    rules = tmp_path / "flows" / "rules"
    rules.mkdir(parents=True)
    (rules / "soak.py").write_text(
        'def told():\n    """Said."""\n\n\ndef untold(): ...\n\n\ndef _own(): ...\n'
    )

    assert silent_functions(tmp_path) == ["flows/rules/soak.py:5: untold"]
