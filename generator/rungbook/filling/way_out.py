"""What to do about a step that is too large: review what waits, compute, or write."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.filling.search import refusal
from rungbook.ladder.graph import draft_way
from rungbook.ladder.measured import MeasuredLibrary


@dataclass(frozen=True, slots=True)
class WayOut:
    """Drafts that wait between two exercises, else the command that looks for some.

    Where neither is there, `words` say why and what is left to do.
    """

    drafts: tuple[str, ...]
    command: str | None
    words: str


def way_out(measured: MeasuredLibrary, from_id: str, to_id: str) -> WayOut:
    """What to do about the step from one exercise to another."""
    drafts = draft_way(measured.with_drafts, from_id, to_id)
    if drafts:
        waiting = f"Drafts between wait for criteria and a review: {', '.join(drafts)}."
        return WayOut(drafts, None, waiting)
    if refusal(measured, from_id, to_id):
        return WayOut((), None, "Write an exercise of your own between.")
    command = f"rungbook fill {from_id} {to_id}"
    return WayOut((), command, f"See what would fill it: {command}")
