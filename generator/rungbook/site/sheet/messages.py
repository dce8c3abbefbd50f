"""The words of sheets and prescriptions, from gettext catalogues, by key.

Python and the browser read the same catalogue: here from the `.po` file, there from a script
file made of `Messages.for_browser`. A key that a language lacks is taken from English.
"""

from __future__ import annotations

import gettext
import importlib.resources
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

from rungbook.model.span import Span, ends

FALLBACK = "en"
_PLURAL_TABLE = 200  # forms of every language known to gettext repeat from 100 on


class UnknownLanguage(ValueError):
    """No catalogue for a language; the message lists those there are."""


@cache
def languages() -> tuple[str, ...]:
    """The languages a sheet can be printed in, sorted."""
    folder = importlib.resources.files("rungbook.site.sheet") / "translations"
    return tuple(
        sorted(entry.name[:-3] for entry in folder.iterdir() if entry.name.endswith(".po"))
    )


@dataclass(frozen=True)
class Messages:
    """The catalogue of one language. `forms` maps a key to its text, or its plural forms."""

    language: str
    forms: Mapping[str, tuple[str, ...]]
    plural_index: tuple[int, ...]

    def __call__(self, key: str, n: float | None = None, **values: Any) -> str:
        """The text of `key` with its `{values}` filled in, in the plural form of `n`.

        Raises:
            KeyError: no catalogue has the key (a bug of ours).
        """
        forms = self.forms[key]
        text = forms[0 if n is None else self._form(n, len(forms))]
        if n is not None:
            values["n"] = self.number(n)
        for name, value in values.items():
            text = text.replace("{" + name + "}", str(value))
        return text

    def _form(self, n: float, forms: int) -> int:
        n = ends(n)[1]
        if n != int(n):
            return forms - 1
        whole = int(n)
        return min(
            self.plural_index[whole if whole < _PLURAL_TABLE else 100 + whole % 100], forms - 1
        )

    def phrase(self, english: str) -> str:
        """An English phrase of a drawing in this language; itself where there is no other."""
        return self.forms.get(english, (english,))[0]

    def items(self, key: str) -> tuple[str, ...]:
        """A message that is a list, its items parted by `|`."""
        return tuple(self.forms[key][0].split("|"))

    def number(self, value: float, digits: int = 2) -> str:
        """At most `digits` decimals, halves away from zero as browsers do, the language's sign.

        Of a range both ends, in words: `2 to 3`.
        """
        if isinstance(value, Span):
            low, high = self.number(value.low, digits), self.number(value.high, digits)
            return self("dose.from-to", low=low, high=high)
        rounded = Decimal(value).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP)
        text = format(rounded, "f")
        if "." in text:
            text = text.rstrip("0").rstrip(".")
        return text.replace(".", self.forms["number.decimal"][0])

    def language_name(self, code: str) -> str:
        """`de` as this language calls it; the code where it has no word for it."""
        forms = self.forms.get(f"language.{code}")
        return forms[0] if forms else code

    def for_browser(self) -> dict[str, Any]:
        """The catalogue as the scripts read it."""
        return {
            "language": self.language,
            "plurals": "".join(str(index) for index in self.plural_index),
            "messages": [[key, list(forms)] for key, forms in sorted(self.forms.items())],
        }


def _forms(catalog: Catalog) -> dict[str, tuple[str, ...]]:
    forms: dict[str, tuple[str, ...]] = {}
    for message in catalog:
        key = message.id if isinstance(message.id, str) else message.id[0]
        one = message.string
        texts = (one,) if isinstance(one, str) else tuple(one or ())
        if key and all(texts):
            forms[key] = texts
    return forms


def _catalog(language: str) -> Catalog:
    source = importlib.resources.files("rungbook.site.sheet") / "translations" / f"{language}.po"
    with source.open("rb") as stream:
        return read_po(stream, locale=language)


@cache
def messages(language: str = FALLBACK) -> Messages:
    """The catalogue of a language, `de` standing in for `de-AT`.

    Raises:
        UnknownLanguage: there is no such catalogue.
    """
    code = language if language in languages() else language.replace("_", "-").split("-")[0]
    if code not in languages():
        raise UnknownLanguage(
            f"no sheet in {language!r}: choose one of {', '.join(languages())}, or add "
            f"translations/{code}.po"
        )
    catalog = _catalog(code)
    plural = gettext.c2py(catalog.plural_expr)
    return Messages(
        code,
        {**_forms(_catalog(FALLBACK)), **_forms(catalog)},
        tuple(plural(n) for n in range(_PLURAL_TABLE)),
    )
