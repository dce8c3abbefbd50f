"""What a change does to a library, as JSON for programs."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

from rungbook.pipeline.changes import Comparison
from rungbook.reports.json import as_data


def as_json_ready(comparison: Comparison) -> dict[str, Any]:
    """The comparison as JSON-ready data; loads in N·m, sizes in steps allowed."""
    return {
        "old": comparison.old_name,
        "new": comparison.new_name,
        "exercises": {
            "added": [{"id": id, "title": title} for id, title in comparison.added.items()],
            "removed": [{"id": id, "title": title} for id, title in comparison.removed.items()],
            "renamed": [{"from": old, "to": new} for old, new in comparison.renamed.items()],
            "changed": [
                {"id": id, "fields": [dataclasses.asdict(change) for change in changes]}
                for id, changes in comparison.changed.items()
            ],
        },
        "ladders": {
            "added": list(comparison.ladders_added),
            "removed": list(comparison.ladders_removed),
        },
        "base": {
            "changed": sorted(comparison.of_base & comparison.changed.keys()),
            "replaced_changed": list(comparison.replaced_changed),
        },
        "loads": [
            {**dataclasses.asdict(change), "ratio": change.ratio} for change in comparison.loads
        ],
        "kinds_of_work": [dataclasses.asdict(change) for change in comparison.kinds],
        "steps": {
            "too_large": [_edge(change) for change in comparison.steps_too_large],
            "repaired": [_edge(change) for change in comparison.steps_repaired],
        },
        "routes": {
            "longer": [dataclasses.asdict(change) for change in comparison.routes_longer],
            "shorter": [dataclasses.asdict(change) for change in comparison.routes_shorter],
        },
        "drafts": [_edge(change) for change in comparison.drafts],
        "cautions_lost": [dataclasses.asdict(lost) for lost in comparison.cautions_lost],
        "reviews": [dataclasses.asdict(change) for change in comparison.reviews],
        "findings": {
            "new": [as_data(finding) for finding in comparison.findings_new],
            "gone": [as_data(finding) for finding in comparison.findings_gone],
            "accepted": [as_data(finding) for finding in comparison.newly_accepted],
        },
    }


def _edge(change: Any) -> dict[str, Any]:
    data = dataclasses.asdict(change)
    return {"from": data.pop("from_id"), "to": data.pop("to_id"), **data}


def render(comparison: Comparison) -> str:
    """The comparison as JSON text that ends in a newline."""
    data = as_json_ready(comparison)
    return json.dumps(data, indent=2, ensure_ascii=False, default=str) + "\n"
