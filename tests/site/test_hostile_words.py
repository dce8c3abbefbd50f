"""Published kinds of cross-site scripting, written into a library, run nowhere.

Vectors of the kinds collected in the OWASP XSS Filter Evasion Cheat Sheet and the HTML5 Security
Cheatsheet (kinds from memory, spelled by us). The policy is switched off in the browser, so that
what is tested is that words never become markup; another test shows that the policy holds.
"""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING

import pytest

from builders.sites import analysis, raise_arm
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser

TRAP = "window.trapped=1"
VECTORS = [
    f"<script>{TRAP}</script>",
    f"</script><script>{TRAP}</script>",
    f"</title><script>{TRAP}</script>",
    f"</textarea><img src=x onerror={TRAP}>",
    f"<img src=x onerror={TRAP}>",
    f"<img/src=x/onerror={TRAP}>",
    f"<svg/onload={TRAP}>",
    f"<svg><script>{TRAP}</script></svg>",
    f"<svg><animate onbegin={TRAP} attributeName=x dur=1s>",
    f"<body onload={TRAP}>",
    f"<input autofocus onfocus={TRAP}>",
    f"<details open ontoggle={TRAP}>",
    f"<iframe srcdoc='<script>parent.{TRAP}</script>'></iframe>",
    f'"><script>{TRAP}</script>',
    f"'><img src=x onerror={TRAP}>",
    f'" onmouseover="{TRAP}" autofocus onfocus="{TRAP}',
    f"' onfocus='{TRAP}' autofocus '",
    f"javascript:{TRAP}",
    f"[press](javascript:{TRAP})",
    f"[press](JavaScript&colon;{TRAP})",
    f"![x](x){{onerror={TRAP}}}",
    f"<a href=java&#9;script:{TRAP}>press</a>",
    f"<math><mi xlink:href=javascript:{TRAP}>press</mi></math>",
    f"<style>@import'javascript:{TRAP}'</style>",
    f"<link rel=stylesheet href=javascript:{TRAP}>",
    f"<meta http-equiv=refresh content='0;url=javascript:{TRAP}'>",
    f"<base href=javascript:{TRAP}//>",
    f"<object data=javascript:{TRAP}>",
    f"<embed src=javascript:{TRAP}>",
    f"<form><button formaction=javascript:{TRAP}>press",
    f"<marquee onstart={TRAP}>",
    f"<video><source onerror={TRAP}>",
    f"<noscript><p title='</noscript><img src=x onerror={TRAP}>'>",
    f"<!--<img src='--><img src=x onerror={TRAP}>'>",
    f"<![CDATA[<script>{TRAP}</script>]]>",
    f"&lt;script&gt;{TRAP}&lt;/script&gt;",
    f"\\u003cscript\\u003e{TRAP}\\u003c/script\\u003e",
    f"{{{{ self.__init__.__globals__ }}}}<script>{TRAP}</script>",
    f"{{% raw %}}<script>{TRAP}</script>{{% endraw %}}",
    f"\u2028<script>{TRAP}</script>",
    f"<scr\x09ipt>{TRAP}</scr\x09ipt>",
    f"<template><script>{TRAP}</script></template>",
    f"<select><option><img src=x onerror={TRAP}>",
    f"`<script>{TRAP}</script>`",
    f"<b\nonclick={TRAP}>press</b>",
]


def exercise(number: int, words: str) -> dict[str, object]:
    return raise_arm(
        f"{number} {words}",
        None,
        30 + number,
        **{"also-called": [words], "back-off": [words], "purpose": [words],
           "reviewed": {"date": "2026-05-01", "by": words},
           "text": {"Set up": words, "Do": f"- {words}", "For the patient": f"> {words}"}},
    )  # fmt: skip


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> pathlib.Path:
    root = tmp_path_factory.mktemp("hostile")
    terms = {f"w{number}": {"title": words, "text": words} for number, words in enumerate(VECTORS)}
    found = analysis(
        root,
        settings={"name": VECTORS[1], "contact": VECTORS[4], "urgent": VECTORS[13]},
        exercises={f"arm/e{number:02}": exercise(number, w) for number, w in enumerate(VECTORS)},
        vocabulary={key: terms for key in ("cautions", "equipment", "sources")},
        ladders={"arm": {"title": VECTORS[3], "works": "shoulder flexion", "goal": "e00",
                         "goal-met": VECTORS, "text": "\n\n".join(VECTORS)}},
    )  # fmt: skip
    # Reading itself refuses line breaks of any kind in a title.
    refused = sum("\u2028" in words or "\n" in words for words in VECTORS)
    assert len(found.measured.library.exercises) == len(VECTORS) - refused
    publish(found, root / "site", draft=True)
    return root / "site"


def test_none_of_them_runs(browser: Browser, hostile_site: pathlib.Path) -> None:
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    dialogs: list[str] = []
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    for path in sorted(hostile_site.rglob("*.html")):
        page.goto(path.as_uri())
        page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        assert page.evaluate("window.trapped") is None, path.name
        strange = page.evaluate(
            "[...document.querySelectorAll('[href],[src],[action],[formaction]')].filter(e =>"
            " /^\\s*(javascript|data|vbscript):/i.test("
            " e.getAttribute('href') || e.getAttribute('src') || '')).length"
        )
        assert strange == 0, path.name
        handlers = page.evaluate(
            "[...document.querySelectorAll('*')].filter(e => [...e.attributes].some(a =>"
            " a.name.startsWith('on'))).length"
        )
        assert handlers == 0, path.name
    assert dialogs == []
    context.close()


def test_none_of_them_runs_from_what_search_and_sheet_show(
    browser: Browser, hostile_site: pathlib.Path
) -> None:
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.goto((hostile_site / "index.html").as_uri())
    field = page.locator("input[type=search]:visible").first
    for letters in ("script", "img", "svg", "press"):
        field.fill(letters)
        page.wait_for_timeout(80)
        assert page.evaluate("window.trapped") is None
    sheet = "&".join(f"sheet=e{number:02}~left" for number in range(3))
    page.goto((hostile_site / "sheet.html").as_uri() + "#" + sheet)
    page.wait_for_timeout(500)
    assert page.evaluate("window.trapped") is None
    context.close()
