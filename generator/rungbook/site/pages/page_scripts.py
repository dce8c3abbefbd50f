"""The scripts each kind of page loads, in this order; new ones are added here."""

from __future__ import annotations

EVERYWHERE: tuple[str, ...] = (
    "due",
    "elements",
    "data",
    "state",
    "masthead",
    "search_index",
    "search",
    "kept",
    "dose_input",
    "sheet_state",
)
_LOADS = (
    "answers", "limits", "patient_dose", "steps", "profiles", "scaling", "strength", "redraw",
    "patient_steps", "rescale", "patient", "prescription",
)  # fmt: skip
SCRIPTS: dict[str, tuple[str, ...]] = {
    "exercise": (
        *_LOADS,
        "prescribe",
        "less",
        "after",
        "session_line",
        "fields",
        "after_form",
        "scrub",
    ),
    "ladder": (*_LOADS, "rung_charts", "fields", "start"),
    "finder": (
        *_LOADS,
        "picker",
        "filters",
        "asked",
        "routes",
        "answer_order",
        "easier",
        "within",
        "answer_items",
        "finder",
    ),
    "route": (*_LOADS, "picker", "filters", "asked", "routes", "route"),
    "sheet": (*_LOADS, "picker", "released", "sheet_print", "sheet_card", "sheet"),
}


def scripts_of(kind: str) -> tuple[str, ...]:
    """The scripts of a kind of page, as paths in the site."""
    return tuple(f"scripts/{name}.js" for name in (*EVERYWHERE, *SCRIPTS.get(kind, ())))
