"""Plain MkDocs over the same Markdown bodies: with a one-line theme, or the stock one."""

from __future__ import annotations

import pathlib

LINE = "<!doctype html><title>{{ page.title }}</title>{{ page.content }}\n"


def write_plain_site(folder: pathlib.Path, library: pathlib.Path) -> pathlib.Path:
    """Write the bodies of a library's exercises, and two configurations: `line.yml`, `stock.yml`."""
    pages = folder / "docs"
    pages.mkdir(parents=True)
    for file in library.glob("exercises/**/*.md"):
        body = file.read_text(encoding="utf-8").split("---\n", 2)[2]
        (pages / file.name).write_text(body, encoding="utf-8")
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
