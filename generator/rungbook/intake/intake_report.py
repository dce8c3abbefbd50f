"""What an intake did and what needs a person: as JSON-ready values and as text."""

from __future__ import annotations

import pathlib
from typing import Any

from rungbook.intake.draft_text import visible
from rungbook.intake.intake import Action, Intake, Outcome
from rungbook.intake.target import KEEP, LEAVE_OUT
from rungbook.reading.wording import shown

MOST_SHOWN = 15
_DONE: dict[Action, str] = {
    "made": "made",
    "changed": "changed",
    "unchanged": "as they were",
    "edited": "left as somebody edited them",
    "there": "left: the library has them, and no intake made them",
    "deleted": "left out: somebody deleted them (take them out of made.json to make them anew)",
    "too large": "left out: too large for one file",
}
_WOULD: dict[Action, str] = {**_DONE, "made": "to make", "changed": "to change"}


def report_values(intake: Intake, mapping_file: pathlib.Path, dry_run: bool) -> dict[str, Any]:
    """`{"file","sheet","read_as","mapping","counts","drafts","gone","notes","dry_run"}`."""
    sheet = intake.table.sheet
    return {
        "file": sheet.file,
        "sheet": sheet.name,
        "read_as": sheet.read_as,
        "dry_run": dry_run,
        "mapping": {
            "file": mapping_file.as_posix(),
            "from_file": intake.mapping.edited,
            "header_row": intake.mapping.header_row,
            "columns": [
                {
                    "column": use.column.letter,
                    "heading": use.column.heading,
                    "field": use.field,
                    "unit": use.unit,
                    "because": use.because,
                }
                for use in intake.mapping.uses
            ],
        },
        "counts": dict(intake.counts),
        "drafts": [_draft_values(outcome) for outcome in intake.outcomes],
        "gone": [{"id": id, "file": file} for id, file in intake.gone.items()],
        "notes": notes(intake),
    }


def _draft_values(outcome: Outcome) -> dict[str, Any]:
    draft = outcome.draft
    return {
        "row": draft.row.number,
        "id": draft.id,
        "title": draft.title,
        "file": outcome.file,
        "action": outcome.action,
        "row_says_more": outcome.says_more,
        "fields": [key for key in draft.values if key != "draft"],
        "sections": list(draft.text),
        "kept": [
            {
                "column": one.column.letter,
                "heading": one.column.heading,
                "text": one.text,
                "why": one.why,
            }
            for one in draft.kept
        ],
        "questions": list(draft.questions),
        "still_to_write": list(draft.missing),
    }


def notes(intake: Intake) -> list[str]:
    """What was noticed about the table as a whole."""
    above = [
        f"row {row.number}, above the headings, was not taken in: "
        f"{shown(' | '.join(cell for cell in row.cells if cell), 100)}"
        for row in intake.table.above
    ]
    return [*intake.table.sheet.notes, *intake.mapping.notes, *above]


def report_text(intake: Intake, mapping_file: pathlib.Path, dry_run: bool) -> str:
    """The report for a terminal."""
    lines = [f"{shown(intake.table.sheet.title)}: read as {intake.table.sheet.read_as}"]
    lines += [f"  note: {visible(note)}" for note in notes(intake)]
    how = "as in" if intake.mapping.edited else "would be saved in" if dry_run else "saved in"
    lines.append(f"\nColumns ({how} {mapping_file}; edit it and run again):")
    lines += _columns(intake)
    words = _WOULD if dry_run else _DONE
    counts = [f"{number} {words[action]}" for action, number in intake.counts.items() if number]
    lines.append(f"\nDrafts: {'; '.join(counts) or 'none'}.")
    lines += _needing(intake)
    lines += _left(intake)
    if dry_run:
        lines.append("\nNothing was written: this was a dry run.")
    return "\n".join(lines) + "\n"


def _columns(intake: Intake) -> list[str]:
    uses = intake.mapping.uses
    names = [shown(use.column.heading or "(no heading)", 30) for use in uses]
    width = max(map(len, names), default=0)
    lines = []
    for use, name in zip(uses, names, strict=True):
        into = {KEEP: "kept as text", LEAVE_OUT: "left out"}.get(use.field, use.field)
        unit = f", in {use.unit}" if use.unit in ("s", "min") else ""
        unit = f", per {use.unit}" if use.unit in ("day", "week") else unit
        lines.append(f"  {use.column.letter:>2}  {name:{width}}  {into}{unit} ({use.because})")
    return lines


def _needing(intake: Intake) -> list[str]:
    """The drafts that a person must look at, and what for."""
    found = [
        one
        for one in intake.outcomes
        if one.action in ("made", "changed", "unchanged", "too large")
        and (one.draft.kept or one.draft.questions or one.draft.missing)
    ]
    if not found:
        return []
    lines = [f"\nNeeds a person ({len(found)}):"]
    for one in found[:MOST_SHOWN]:
        lines.append(f"  {one.file} (row {one.draft.row.number})")
        lines += [f"    {question}" for question in one.draft.questions]
        for kept in one.draft.kept:
            text = shown(visible(" ".join(kept.text.split())), 60)
            lines.append(f"    {kept.column.name}: {shown(kept.why, 160)}: {text}")
        if one.draft.missing:
            lines.append(f"    still to write: {', '.join(one.draft.missing)}")
    if len(found) > MOST_SHOWN:
        lines.append(f"  … and {len(found) - MOST_SHOWN} more: --format json lists all")
    return lines


def _left(intake: Intake) -> list[str]:
    lines = []
    more = [one for one in intake.outcomes if one.says_more]
    if more:
        lines.append("\nEdited by hand while the table says something new; compare yourself:")
        lines += [f"  {one.file} (row {one.draft.row.number})" for one in more[:MOST_SHOWN]]
    if intake.gone:
        lines.append("\nMade from rows that are no longer there; the files are left:")
        lines += [f"  {file}" for file in list(intake.gone.values())[:MOST_SHOWN]]
    return lines
