"""Every folder of the program and of the theme is in the list that setuptools packs from."""

from __future__ import annotations

import pathlib
import tomllib

ROOT = pathlib.Path(__file__).parents[1]


def test_the_list_of_packages_is_the_folders_there_are() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        listed = set(tomllib.load(file)["tool"]["setuptools"]["packages"])
    there = set()
    for name, folder in (("rungbook", "generator/rungbook"), ("rungbook_theme", "site_theme")):
        base = ROOT / folder
        files = (
            path for path in base.rglob("*") if path.is_file() and "__pycache__" not in path.parts
        )
        inside = {path.parent.relative_to(base) for path in files}
        folders = {base for one in inside for base in (one, *one.parents)}
        there |= {".".join((name, *one.parts)) for one in folders}
    assert listed == there
