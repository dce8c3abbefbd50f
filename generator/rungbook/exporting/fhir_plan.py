"""A ladder as a FHIR R5 PlanDefinition: rungs to choose from, one at a time."""

from __future__ import annotations

from typing import Any

from rungbook.exporting.fhir_artifact import citations, reference
from rungbook.exporting.fhir_names import address, computable_name, resource_id
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.criterion import in_words
from rungbook.model.ladder import Ladder, PainRule

PLAN = "PlanDefinition"
PLAN_TYPES = "http://terminology.hl7.org/CodeSystem/plan-definition-type"
ORDER = (
    "Listed from the least demanding to the goal. The list says nothing about time: where a "
    "patient starts and when to move is the clinician's to decide, by the criteria that each "
    "exercise gives for its successors."
)


def plan_definition(measured: MeasuredLibrary, one: MeasuredLadder) -> dict[str, Any]:
    """One ladder. The rungs are alternatives; no action is put before another in time."""
    library, ladder = measured.library, one.ladder
    rungs = [library.exercises[id] for id in one.rungs]
    sound = bool(rungs) and all(rung.is_reviewed for rung in rungs)
    rule = ladder.pain_rule
    values: dict[str, Any] = {
        "resourceType": PLAN,
        "id": resource_id(ladder.id),
        "url": address(library, PLAN, ladder.id),
        "name": computable_name(ladder.id),
        "title": ladder.title,
        "type": {"coding": [{"system": PLAN_TYPES, "code": "clinical-protocol"}]},
        "status": "active" if sound else "draft",
        "publisher": library.settings.name,
        "description": ladder.text,
        "usage": _usage(measured, ladder),
        "topic": [{"text": ladder.condition}] if ladder.condition else None,
        "relatedArtifact": citations(
            library, [rule.source] if isinstance(rule, PainRule) and rule.source else []
        ),
        "goal": [{"description": {"text": words}} for words in in_words(ladder.goal_met)],
        "action": [_choice(measured, one)] if rungs else None,
    }
    return {key: value for key, value in values.items() if value not in (None, "", [], {})}


def _choice(measured: MeasuredLibrary, one: MeasuredLadder) -> dict[str, Any]:
    library, ladder = measured.library, one.ladder
    actions = []
    for id in one.rungs:
        marks = [
            f"Entry at {level} irritability" for level, at in ladder.entries.items() if at == id
        ]
        marks += ["Goal of the ladder"] if id == ladder.goal else []
        action = {
            "linkId": resource_id(id),
            "title": library.exercises[id].title,
            "description": ". ".join(marks),
            "definitionCanonical": reference(library, id),
        }
        actions.append({key: value for key, value in action.items() if value})
    return {
        "linkId": "rungs",
        "title": "Rungs",
        "description": ORDER,
        "groupingBehavior": "logical-group",
        "selectionBehavior": "at-most-one",
        "action": actions,
    }


def _usage(measured: MeasuredLibrary, ladder: Ladder) -> str:
    rule = ladder.pain_rule
    if rule == "default":
        rule = measured.library.settings.pain_rule
    known = measured.library.vocabulary.restrictions
    orders = [known[key].title if key in known else key for key in ladder.restrictions]
    parts = []
    if isinstance(rule, PainRule):
        parts.append(f"Pain rule: {rule.text or _rule_in_words(rule)}")
    if orders:
        parts.append("Restrictions:\n" + "\n".join(f"- {order}" for order in orders))
    return "\n\n".join(parts)


def _rule_in_words(rule: PainRule) -> str:
    parts = [f"up to {rule.during:g} of 10 during exercise" if rule.during is not None else ""]
    parts.append(f"settled by {rule.settles_within}" if rule.settles_within else "")
    return ", ".join(part for part in parts if part)
