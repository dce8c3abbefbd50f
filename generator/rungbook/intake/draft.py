"""A row of a table as a draft: the fields that were understood, the rest word for word."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from rungbook.exporting.exercise_table import COMPUTED, INNER, TEXT
from rungbook.intake.cell_values import NotUnderstood, structured, value_of
from rungbook.intake.dose_text import read_dose
from rungbook.intake.mapping import Mapping, Use
from rungbook.intake.table import Column, Row, Table
from rungbook.intake.target import DOSE, EASIER, HARDER, KEEP, LEAVE_OUT, WHEN
from rungbook.intake.words import Words, slug
from rungbook.reading.front_matter import FORBIDDEN, sections
from rungbook.reading.markup import unsafe_markup

INTAKE = "intake"
LONGEST_TITLE = 200
VOUCHING = ("reviewed", "words-checked", "accepts")
WANTED = ("position", "works", "movement", "dose")  # what a load or a sheet needs


@dataclass(frozen=True, slots=True)
class Kept:
    """A cell that stays in the draft as it was, and why."""

    column: Column
    text: str
    why: str


@dataclass(slots=True)
class Draft:
    """One row on its way to a file. `values` are front matter as YAML reads it."""

    row: Row
    id: str = ""
    values: dict[str, Any] = field(default_factory=dict)
    text: dict[str, str] = field(default_factory=dict)
    kept: list[Kept] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)
    links: list[tuple[Use, str, str]] = field(default_factory=list)  # use, cell, title or id
    when: tuple[Use, str] | None = None
    origins: dict[str, tuple[Use, str]] = field(default_factory=dict)  # field -> its cell
    folder: str = ""

    @property
    def title(self) -> str:
        """What it is called."""
        return str(self.values.get("title", ""))

    @property
    def missing(self) -> tuple[str, ...]:
        """What a person has still to write."""
        if self.values.get("variation-of"):
            return ()
        held = "measured" in self.values or "hold" in self.values.get("dose", {})
        needed = [name for name in WANTED if not (name == "movement" and held)]
        return tuple(name for name in needed if not self.values.get(name))

    def keep(self, use: Use, text: str, why: str) -> None:
        """Keep a cell word for word; once, whatever else is said about it."""
        if not any(one.column is use.column for one in self.kept):
            self.kept.append(Kept(use.column, text, why))


def draft_of(row: Row, table: Table, mapping: Mapping, words: Words) -> Draft:
    """The row's fields, not yet linked to others and not yet validated."""
    draft = Draft(row)
    for index, use in enumerate(mapping.uses):
        text = mapping.values.meant(use.field, table.cell(row, index))
        if text and use.field != LEAVE_OUT and not use.field.startswith(COMPUTED):
            _take(draft, use, text, words, row.odd.get(index))
    _name(draft, table)
    draft.values["draft"] = INTAKE  # whatever the table says it is
    return draft


def _take(draft: Draft, use: Use, text: str, words: Words, odd: str | None) -> None:
    if use.field.partition(".")[0] in VOUCHING:
        _vouched(draft, use, text)
    elif FORBIDDEN.search(text) and use.field not in ("title", "id"):
        draft.keep(use, text, "it holds characters that nobody can see")
    elif odd == "error" or (odd == "formula" and text.startswith("=")):
        draft.keep(use, text, "the spreadsheet has no value here")
    elif odd in ("date", "time") and use.field != KEEP:
        draft.keep(use, text, f"the spreadsheet made a {odd} of it: write what was meant")
    elif use.field == KEEP:
        draft.keep(use, text, use.because)
    elif use.field in ("title", "id"):
        draft.origins[use.field] = (use, text)
    elif use.field == "area":
        _area(draft, use, text, words)
    elif use.field == DOSE:
        _dose(draft, use, text)
    elif use.field in (HARDER, EASIER):
        _links(draft, use, text)
    elif use.field == WHEN:
        draft.when = (use, text)
    elif use.field.startswith(TEXT):
        _section(draft, use, text)
    else:
        _field(draft, use, text, words)


def _field(draft: Draft, use: Use, text: str, words: Words) -> None:
    try:
        value = value_of(use.field, text, use.unit, words)
    except NotUnderstood as fault:
        draft.keep(use, text, fault.why)
        if fault.part is None:
            return
        value = fault.part
    _put(draft, use, text, use.field, value)


def _put(draft: Draft, use: Use, text: str, name: str, value: Any) -> None:
    outer, _, inner = name.partition(".")
    if outer in INNER and inner:
        draft.values[outer] = {**draft.values.get(outer, {}), inner: value}
    else:
        draft.values[name] = value
    draft.origins[name] = (use, text)


def _area(draft: Draft, use: Use, text: str, words: Words) -> None:
    known = words.library.vocabulary.areas
    key = words.key("areas", text) if known else text
    if key is None:
        draft.keep(use, text, f"not in vocabulary/areas.yml: add '{slug(text)}: …' and run again")
        return
    _put(draft, use, text, "area", key)
    draft.folder = slug(key)


def _dose(draft: Draft, use: Use, text: str) -> None:
    read = read_dose(text)
    given = draft.values.get("dose", {})
    clash = [name for name, value in read.fields.items() if given.get(name, value) != value]
    for name, value in read.fields.items():
        if name not in given:
            _put(draft, use, text, f"dose.{name}", value)
    if read.rest or clash:
        rest = ", ".join(f"'{part[:60]}'" for part in read.rest[:3])
        also = f"another column says another {clash[0]}" if clash else ""
        why = "; ".join(part for part in (f"not certain: {rest}" if rest else "", also) if part)
        draft.keep(use, text, why)


def _links(draft: Draft, use: Use, text: str) -> None:
    if use.field == HARDER and text[:1] in "[{":
        try:
            _put(draft, use, text, "progressions", structured(text, "progressions"))
            return
        except NotUnderstood:
            pass
    draft.links.append((use, text, text))


def _section(draft: Draft, use: Use, text: str) -> None:
    heading = use.field.removeprefix(TEXT).strip()
    written = f"## {heading}\n{text}" if heading else text
    found, _, twice = sections(written, 1)
    if list(found) != [heading] or twice:
        draft.keep(use, text, "it has headings of its own")
    elif list(unsafe_markup(text, "", None, None)):
        draft.keep(use, text, "it holds HTML or a link that no page may show")
    elif re.search(r"^ {0,3}(```|~~~)", text, re.MULTILINE):
        # A block of code that is not closed would swallow what follows in the file.
        draft.keep(use, text, "it begins a block of code")
    else:
        draft.text[heading] = text


def _name(draft: Draft, table: Table) -> None:
    """The title: as written where it can be one, else the nearest to it."""
    use, text = draft.origins.get("title", (None, ""))
    title = " ".join(FORBIDDEN.sub(" ", text).split())
    if not title and "id" in draft.origins:
        title = draft.origins["id"][1].replace("-", " ").strip().capitalize()
    if not title:
        title = f"Row {draft.row.number} of {table.sheet.file}"
        draft.questions.append("it has no title")
    if use is not None and (title != text or len(title) > LONGEST_TITLE):
        draft.keep(use, text, "a title is one line of 200 letters at most")
    if list(unsafe_markup(title, "", None, None)) and use is not None:
        draft.keep(use, text, "a title holds no HTML and no links")
        title = " ".join(title.translate(str.maketrans("<>[]&`", "      ")).split()) or "No title"
    draft.values = {"title": title[:LONGEST_TITLE].strip(), **draft.values}


def _vouched(draft: Draft, use: Use, text: str) -> None:
    """Nobody vouches for anything by a table: it is mailed, and anybody can write into it."""
    if use.field == "accepts":
        if text.strip() != "[]":
            draft.keep(use, text, "what check finds is accepted in the library, not by a table")
        return
    said = "its review does not come in by a table: read the draft, then rungbook review"
    if said not in draft.questions:
        draft.questions.append(said)
