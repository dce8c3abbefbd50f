"""Names of other things in the library: exercises, vocabulary entries, pictures."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from rungbook.model.acting import BUILT_IN_SURFACES, HELPERS
from rungbook.model.exercise import Acceptance, Exercise
from rungbook.model.ladder import Ladder, PainRule
from rungbook.model.library import Settings
from rungbook.model.place import Path
from rungbook.reading.folder import ID, better_id
from rungbook.reading.pictures import Pictures
from rungbook.reading.shape import Problem
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

COMMON_PRACTICE = "common practice"
SINGULAR = {
    "areas": "area",
    "cautions": "caution",
    "equipment": "equipment",
    "restrictions": "restriction",
    "sources": "source",
}


@dataclass(frozen=True)
class Known:
    """Every name that is there, entries and files with faults included: no fault cascades."""

    exercises: frozenset[str]
    vocabulary: Mapping[str, frozenset[str]]
    pictures: Pictures
    balance: frozenset[str]
    left_out: frozenset[str] = frozenset()  # of a base, by `without`

    @cached_property
    def of_base(self) -> Known:
        """What an exercise of a base may name: what is left out here leads nowhere, and is no
        fault of its."""
        return replace(self, exercises=self.exercises | self.left_out, left_out=frozenset())


def exercise_references(
    exercise: Exercise, known: Known, written: Collection[str]
) -> Iterator[Problem]:
    """What an exercise names and the library does not have; `written` are its own keys."""
    for number, progression in enumerate(exercise.progressions):
        path: Path = ("progressions", number)
        yield from _exercise(progression.to, (*path, "to"), known)
        yield from _keys("sources", progression.sources, (*path, "sources"), known)
    for kind in ("sources", "cautions", "restrictions", "equipment"):
        yield from _keys(kind, getattr(exercise, kind), (kind,), known)
    yield from _acceptances(exercise.accepts, known)
    if exercise.replaced_by is not None:
        yield from _exercise(exercise.replaced_by, ("replaced-by",), known)
    for number, id in enumerate(exercise.formerly):
        if id in known.exercises:
            message = f"'{id}' is the id of an exercise there is: nothing leads on from there"
            yield Problem("wrong-value", ("formerly", number), f"{message}. Remove it here")
    for number, figure in enumerate(exercise.figures):
        yield from _key("sources", figure.source, ("measured", number, "source"), known)
    for number, task in enumerate(exercise.balance):
        if task not in known.balance:
            names = sorted(known.balance)
            hint = did_you_mean(task, names, f"known are {', '.join(names)}")
            message = f"nothing of this name makes standing harder: {hint}"
            yield Problem("unknown-reference", ("balance", number), message)
    for number, contact in enumerate(exercise.contacts):
        if contact.surface is not None and not contact.on_a_limb:
            path = ("contacts", number, "surface")
            yield from _key("equipment", contact.surface, path, known, BUILT_IN_SURFACES)
    for number, assist in enumerate(exercise.assist):
        if assist.by is not None:
            yield from _key("equipment", assist.by, ("assist", number, "by"), known, HELPERS)
    # A folder that is no area is told once, not for every exercise in it.
    if exercise.area is not None and known.vocabulary["areas"] and "area" in written:
        yield from _key("areas", exercise.area, ("area",), known)
    for number, picture in enumerate(exercise.pictures):
        yield from known.pictures.problems(picture, ("pictures", number))


def _acceptances(accepts: Collection[Acceptance], known: Known) -> Iterator[Problem]:
    for number, one in enumerate(accepts):
        for key, id in (("to", one.to), ("from", one.from_)):
            if id is not None:
                yield from _exercise(id, ("accepts", number, key), known)


def ladder_references(ladder: Ladder, known: Known) -> Iterator[Problem]:
    """What a ladder names and the library does not have."""
    yield from _acceptances(ladder.accepts, known)
    yield from _exercise(ladder.goal, ("goal",), known)
    if isinstance(ladder.standard, str):
        yield from _exercise(ladder.standard, ("standard",), known)
    elif ladder.standard is not None:
        for action, standard in ladder.standard.items():
            yield from _exercise(standard, ("standard", str(action)), known)
    for irritability, entry in ladder.entries.items():
        yield from _exercise(entry, ("entries", irritability), known)
    for number, test in enumerate(ladder.tests):
        if test.gate is not None:
            yield from _exercise(test.gate.before, ("tests", number, "gate", "before"), known)
        for index, start in enumerate(test.start):
            yield from _exercise(start.enter, ("tests", number, "start", index, "enter"), known)
        yield from _source(test.source, ("tests", number, "source"), known)
    yield from _keys("restrictions", ladder.restrictions, ("restrictions",), known)
    if isinstance(ladder.pain_rule, PainRule):
        yield from _source(ladder.pain_rule.source, ("pain-rule", "source"), known)


def settings_references(settings: Settings, known: Known) -> Iterator[Problem]:
    """Sources that library.yml names and sources.yml does not have."""
    if settings.pain_rule is not None:
        yield from _source(settings.pain_rule.source, ("pain-rule", "source"), known)
    for number, rule in enumerate(settings.flare_up):
        yield from _source(rule.source, ("flare-up", number, "source"), known)


def source_references(sources: Collection[str], path: Path, known: Known) -> Iterator[Problem]:
    """Sources that a vocabulary entry names and sources.yml does not have."""
    yield from _keys("sources", sources, path, known)


def _exercise(id: str, path: Path, known: Known) -> Iterator[Problem]:
    if id in known.left_out:
        message = f"'{id}' is left out by 'without' in library.yml: name another, or take it back"
        yield Problem("unknown-reference", path, message)
    elif id not in known.exercises:
        hint = did_you_mean(
            id, known.exercises, "write the id of one there is, which is its file's name"
        )
        message = f"there is no exercise '{shown(id)}': {hint}"
        yield Problem("unknown-reference", path, message)


def _source(key: str | None, path: Path, known: Known) -> Iterator[Problem]:
    if key is not None:
        yield from _key("sources", key, path, known, (COMMON_PRACTICE,))


def _keys(kind: str, keys: Collection[str], path: Path, known: Known) -> Iterator[Problem]:
    for number, key in enumerate(keys):
        yield from _key(kind, key, (*path, number), known)


def _key(
    kind: str, key: str, path: Path, known: Known, built_in: tuple[str, ...] = ()
) -> Iterator[Problem]:
    entries = known.vocabulary[kind]
    if key in entries or key in built_in:
        return
    near = did_you_mean(key, {*entries, *built_in}, "")
    if ID.fullmatch(key):
        add = f"add it to vocabulary/{kind}.yml ('{shown(key)}: its title') or remove it"
    else:
        better = better_id(key) or "a-word"
        add = (
            f"a key is made of a-z, 0-9 and hyphens: write '{better}' here, and "
            f"'{better}: {shown(key)}' in vocabulary/{kind}.yml"
        )
    hint = f"{near} Else {add}" if near else add
    subject = SINGULAR[kind] if kind != "equipment" else "piece of equipment"
    message = f"there is no {subject} '{shown(key)}': {hint}"
    yield Problem("unknown-reference", path, message)
