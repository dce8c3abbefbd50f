"""Markup that must not reach a browser is told, and never repeated in a message."""

import pathlib

import pytest

from builders.reading import changed, sound_library, told

HTML = "raw HTML is removed from the pages: write Markdown, or put it in `backticks`"
PROGRAM = "a link that runs a program is removed from the pages: link to a page instead"
SCHEME = "a link of this kind is removed from the pages: begin it with https: or mailto:"


def told_in_text(tmp_path: pathlib.Path, text: str) -> list[str]:
    library = sound_library(tmp_path, {"calf/raise": changed("Rise.\n", text + "\n")})
    assert "raise" in library.exercises
    assert all("alert" not in finding.message for finding in library.findings)
    return [
        f"{finding.place.line}:{finding.place.column} {finding.check}: {finding.message}"
        for finding in library.findings
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("See <b>this</b>.", ["19:5 unsafe-markup: " + HTML]),
        ("<script>alert(1)</script>", ["19:1 unsafe-markup: " + HTML]),
        ("<script", ["19:1 unsafe-markup: " + HTML]),
        ("<img src=x onerror=alert(1)>", ["19:1 unsafe-markup: " + HTML]),
        ("x <!-- note --> y", ["19:3 unsafe-markup: " + HTML]),
        ("x <?php alert ?>", ["19:3 unsafe-markup: " + HTML]),
        ("<svg/onload=alert(1)>", ["19:1 unsafe-markup: " + HTML]),
        ("[x](javascript:alert(1))",
         ["19:5 unsafe-markup: " + SCHEME, "19:5 unsafe-markup: " + PROGRAM]),
        ("[x](JaVaScRiPt:alert(1))",
         ["19:5 unsafe-markup: " + SCHEME, "19:5 unsafe-markup: " + PROGRAM]),
        ("[x](&#106;avascript:alert(1))",
         ["19:5 unsafe-markup: " + SCHEME, "19:5 unsafe-markup: " + PROGRAM]),
        ("[x](data:text/html;base64,alert)",
         ["19:5 unsafe-markup: " + SCHEME, "19:5 unsafe-markup: " + PROGRAM]),
        ("[x]: vbscript:alert",
         ["19:6 unsafe-markup: " + SCHEME, "19:6 unsafe-markup: " + PROGRAM]),
        ("<file:///etc/passwd>", ["19:2 unsafe-markup: " + SCHEME]),
        ("[x](//elsewhere.example)",
         ["19:5 unsafe-markup: a link needs its whole address: begin it with https:"]),
        ("![x](https://elsewhere.example/x.png)",
         ["19:6 unsafe-markup: pages load nothing from elsewhere: "
          "put the picture into pictures/ and name it so"]),
        ("[x](../../secret.md)",
         ["19:5 unsafe-path: a link that leads out of the library: "
          "link to a page of it by its file's name"]),
        ("[x](/etc/passwd)",
         ["19:5 unsafe-path: a link that leads out of the library: "
          "link to a page of it by its file's name"]),
    ],
)  # fmt: skip
def test_unsafe_markup_is_told(tmp_path: pathlib.Path, text: str, expected: list[str]) -> None:
    assert told_in_text(tmp_path, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "Load < 5 kg and > 2 kg, a<b.",
        "In code: `<script>` stays as it is.",
        "```\n<script>\n```",
        "~~~html\n<b>\n~~~",
        "<https://doi.org/10.1000/182> and <someone@example.org>",
        "[the next](hop.md) and [a page](https://example.org/a_(b))",
        "[call](tel:+123) [write](mailto:a@example.org) [above](#do)",
        "Tom & Ann's description: a transcript",
        "\\<b\\> is text",
    ],
)
def test_plain_markdown_is_not_told(tmp_path: pathlib.Path, text: str) -> None:
    assert told_in_text(tmp_path, text) == []


def test_markup_in_a_title_is_told_at_its_place(tmp_path: pathlib.Path) -> None:
    text = changed("title: Heel raise", "title: Heel <img src=x onerror=alert(1)> raise")
    library = sound_library(tmp_path, {"calf/raise": text})
    assert told(library) == [f"raise.md:2:13 unsafe-markup: {HTML}"]
    assert library.findings[0].level == "warning"


def test_markup_in_a_vocabulary_and_in_library_yml_is_told(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path, settings="name: <b>Clinic</b>\n", vocabulary={"cautions": "repair: <i>x</i>\n"}
    )
    assert told(library) == [
        f"library.yml:1:7 unsafe-markup: {HTML}",
        f"vocabulary/cautions.yml:1:9 unsafe-markup: {HTML}",
    ]
