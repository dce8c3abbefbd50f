"""Markdown of the library becomes harmless HTML."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook.site.pages import prose as prose_module
from rungbook.site.pages.prose import prose

PATHS = {"heel-raise": "exercises/heel-raise.html"}


def html(text: str, root: str = "../") -> str:
    return str(prose(text, root, PATHS))


def test_emphasis_lists_and_tables_are_kept() -> None:
    made = html("Stand *tall*.\n\n- knees\n- **feet**\n\n| a | b |\n|---|--:|\n| 1 | 2 |\n")
    assert "<em>tall</em>" in made
    assert "<li><strong>feet</strong></li>" in made
    assert '<td class="right">2</td>' in made
    assert "style" not in made


def test_raw_html_is_removed_and_not_shown() -> None:
    made = html("before <b onclick='x()'>bold</b> after\n\n<div class=x>\nblock\n</div>\n")
    assert "<b" not in made
    assert "&lt;" not in made
    assert "onclick" not in made
    assert "before" in made and "after" in made


def test_headings_stand_below_the_title_of_their_section() -> None:
    assert html("## Inside\n\ntext") == "<h3>Inside</h3>\n<p>text</p>"


def test_a_link_to_an_exercise_leads_to_its_page() -> None:
    for target in ("heel-raise", "heel-raise.md", "../calf/heel-raise.md"):
        assert 'href="../exercises/heel-raise.html"' in html(f"[up]({target})")


def test_a_link_to_another_file_keeps_its_words_only() -> None:
    made = html("[passwords](../../../etc/passwd)")
    assert "passwords" in made
    assert "href" not in made


def test_links_to_the_web_are_kept_and_say_nothing_of_where_they_come_from() -> None:
    made = html("[paper](https://example.org/a?b=1&c=2)")
    assert 'href="https://example.org/a?b=1&amp;c=2"' in made
    assert "noreferrer" in made


# Vectors of the kinds listed in the OWASP XSS Filter Evasion Cheat Sheet (kinds from memory).
HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<svg onload=alert(1)>",
    "[a](javascript:alert(1))",
    "[a](JaVaScRiPt:alert(1))",
    "[a](java\tscript:alert(1))",
    "[a](&#106;avascript:alert(1))",
    "[a](data:text/html;base64,PHNjcmlwdD4=)",
    "[a](vbscript:x)",
    "![a](javascript:alert(1))",
    '[a](https://x "onmouseover=alert(1)")',
    "<a href='javascript:alert(1)'>x</a>",
    "<iframe src=javascript:alert(1)></iframe>",
    "<style>*{background:url(javascript:x)}</style>",
    "<math><mtext><table><mglyph><style><img src=x onerror=alert(1)>",
    "`<script>alert(1)</script>`",
    "<scr<script>ipt>alert(1)</scr</script>ipt>",
    "<![CDATA[<script>alert(1)</script>]]>",
    "<!--><script>alert(1)</script>-->",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    '<https://x/"onclick=alert(1)>',
    "[a]: javascript:alert(1)\n\n[a]",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_that_could_act_is_left(text: str) -> None:
    made = html(text)
    tags = re.findall(r"<[^>]*>", made)
    assert not [tag for tag in tags if re.match(r"</?(?:script|img|svg|iframe|style|math)", tag)]
    assert not [tag for tag in tags if re.search(r"\son\w+\s*=", re.sub(r'"[^"]*"', '""', tag))]
    for href in re.findall(r'href="([^"]*)"', made):
        assert re.match(r"https?:", href), href


@pytest.mark.parametrize("text", ["> " * 400 + "x", "* " * 300 + "x", "[" * 5000, "*" * 20000])
def test_absurd_nesting_costs_neither_an_error_nor_the_words(text: str) -> None:
    assert len(html(text)) >= 1


@settings(max_examples=1000)
@given(
    st.lists(
        st.text("aZé中ßǅ٣5²'\"- .,;:()?%/×–—…\n", max_size=14)
        | st.from_regex(r"[a-z][a-z ,.()]{0,9}[a-z.]", fullmatch=True),
        max_size=5,
    ).map("\n".join)
)
def test_plain_paragraphs_are_converted_as_any_other_text(text: str) -> None:
    assert prose_module._html(text) == prose_module._full_html(text)


@pytest.mark.parametrize(
    "text",
    ["1. one", "a\n---", "a\n===", "a  \nb", "    a", "a & b", "a_b_c", "*a*", "a\n\n- b", "`a`"],
)
def test_a_text_with_marks_is_no_plain_one(text: str) -> None:
    assert not prose_module._PLAIN.fullmatch(text)
