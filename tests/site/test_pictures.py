"""Photographs come from the library's own folder only, and drawings cannot act."""

from __future__ import annotations

import pathlib

import pytest

from rungbook.site.pages.pictures import harmless_svg, picture_path

XLINK = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


@pytest.fixture
def root(tmp_path: pathlib.Path) -> pathlib.Path:
    library = tmp_path / "library"
    (library / "pictures").mkdir(parents=True)
    (library / "pictures" / "a.jpg").write_bytes(b"picture")
    (library / "library.yml").write_text("name: x\n")
    (tmp_path / "secret.jpg").write_bytes(b"secret")
    return library


def test_a_picture_of_the_library_is_found(root: pathlib.Path) -> None:
    assert picture_path(root, "a.jpg") == (root / "pictures" / "a.jpg").resolve()


@pytest.mark.parametrize(
    "name", ["../library.yml", "../../secret.jpg", "/etc/passwd", "b.jpg", "."]
)
def test_nothing_else_is(root: pathlib.Path, name: str) -> None:
    assert picture_path(root, name) is None


def test_a_link_out_of_the_folder_is_not_followed(root: pathlib.Path) -> None:
    (root / "pictures" / "link.jpg").symlink_to(root.parent / "secret.jpg")
    assert picture_path(root, "link.jpg") is None


def test_a_drawing_keeps_its_shapes() -> None:
    drawing = f'<svg {XLINK} viewBox="0 0 9 9"><g><path d="M0 0h9" fill="url(#a)"/></g></svg>'
    made = harmless_svg(drawing.encode()).decode()
    assert 'viewBox="0 0 9 9"' in made
    assert '<path d="M0 0h9" fill="url(#a)"' in made


@pytest.mark.parametrize(
    "inside",
    [
        "<script>alert(1)</script>",
        '<a href="javascript:alert(1)"><path d=""/></a>',
        '<rect onload="alert(1)"/>',
        '<rect style="background:url(https://x)"/>',
        '<image href="https://x/y.png"/>',
        '<use xlink:href="https://x/y.svg#z"/>',
        '<rect fill="url(https://x#a)"/>',
        "<foreignObject><body xmlns='http://www.w3.org/1999/xhtml'>x</body></foreignObject>",
        '<animate attributeName="href" to="javascript:alert(1)"/>',
        "<x:script xmlns:x='http://www.w3.org/1999/xhtml'>alert(1)</x:script>",
    ],
)
def test_a_drawing_loses_whatever_could_act_or_fetch(inside: str) -> None:
    made = harmless_svg(f"<svg {XLINK}>{inside}</svg>".encode()).decode()
    for word in ("script", "alert", "onload", "https://x", "style", "foreign", "animate"):
        assert word not in made


@pytest.mark.parametrize("text", ["", "no xml", "<html/>", '<!DOCTYPE x [<!ENTITY a "b">]><svg/>'])
def test_what_is_no_drawing_becomes_an_empty_one(text: str) -> None:
    made = harmless_svg(text.encode()).decode()
    assert made.startswith("<svg") and made.endswith("/>")
