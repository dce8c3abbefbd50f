"""Plain MkDocs over the same Markdown bodies: with a one-line theme, or the stock one."""

from __future__ import annotations

import pathlib

from tests.speed.content import library_files

LINE = "<!doctype html><title>{{ page.title }}</title>{{ page.content }}\n"


def write_plain_site(folder: pathlib.Path, exercises: int) -> pathlib.Path:
    """Write a documentation folder and two configurations, `line.yml` and `stock.yml`."""
    pages = folder / "docs"
    pages.mkdir(parents=True)
    for path, text in library_files(exercises):
        if path.startswith("exercises/"):
            name = pathlib.PurePath(path).name
            (pages / name).write_text(text.split("---\n", 2)[2], encoding="utf-8")
    (pages / "index.md").write_text("# All\n", encoding="utf-8")
    theme = folder / "theme"
    theme.mkdir()
    (theme / "main.html").write_text(LINE, encoding="utf-8")
    common = f"site_name: Plain\ndocs_dir: {pages}\nsite_dir: {folder / 'site'}\n"
    one = f"theme: {{name: null, custom_dir: {theme}}}\nplugins: []\n"
    (folder / "line.yml").write_text(common + one, encoding="utf-8")
    (folder / "stock.yml").write_text(
        common + "theme: mkdocs\nplugins: [search]\n", encoding="utf-8"
    )
    return folder
