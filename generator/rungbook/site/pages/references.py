"""Sources as a reader can look them up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rungbook.model.library import Source
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.words import sentence, spaced


@dataclass(frozen=True, slots=True)
class Reference:
    """One source: what to read, where it is, and what to know about the citation."""

    key: str
    title: str
    imprint: str  # authors, journal, year
    href: str | None
    shown: str  # the link's words: the DOI or the address
    remark: str  # common practice, cited from memory
    brief: str  # first author and year, where the whole citation would be too much


def _address(source: Source) -> tuple[str | None, str]:
    if source.doi:
        doi = source.doi.removeprefix("https://doi.org/")
        return f"https://doi.org/{doi}", f"doi:{doi}"
    if source.url and source.url.startswith(("https://", "http://")):
        return source.url, source.url.partition("://")[2].rstrip("/")
    return None, ""


def reference(catalogue: Catalogue, key: str) -> Reference:
    """The source with this key; a key the vocabulary lacks is shown as it is written."""
    return _reference(key, catalogue.library.vocabulary.sources.get(key))


def _reference(key: str, source: Source | None) -> Reference:
    if source is None:
        words = sentence(spaced(key))
        remark = "no source" if key == "common-practice" else ""
        return Reference(key, words, "", None, "", remark, words)
    href, shown = _address(source)
    imprint = ", ".join(
        part for part in (source.authors, source.journal, str(source.year or "")) if part
    )
    remarks = (
        "common practice, no source" if source.kind == "common-practice" else "",
        "cited from memory" if source.from_memory else "",
    )
    return Reference(
        key, source.title, imprint, href, shown, "; ".join(part for part in remarks if part),
        _brief(source),
    )  # fmt: skip


def _brief(source: Source) -> str:
    first, others, _ = (source.authors or "").partition(",")
    family = first.rpartition(" ")[0] or first
    if not family or not source.year:
        return source.title
    return f"{family}{' and others' if others else ''}, {source.year}"


def references(catalogue: Catalogue, keys: Iterable[str]) -> tuple[Reference, ...]:
    """Every source once, in the order first named."""
    return tuple(reference(catalogue, key) for key in dict.fromkeys(keys))


def cited(catalogue: Catalogue, key: str) -> str:
    """A source in a line, for what scripts show."""
    found = reference(catalogue, key)
    named = f"{found.imprint}. {found.title}" if found.imprint else found.title
    return f"{named} ({found.remark})" if found.remark else named
