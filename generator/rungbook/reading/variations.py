"""`variation-of`: what an exercise takes from another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rungbook.model.finding import Finding
from rungbook.reading import limits
from rungbook.reading.places import FilePlaces, VariationPlaces, is_own
from rungbook.reading.raw import RawFile
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

# Continuous work and counted work exclude one another: what a variation writes wins.
# What an exercise is done by, and the sections that say how.
_MOVES = frozenset(
    {
        "position", "posture", "movement", "contacts", "assist", "resistance", "incline", "stride",
        "stands-on", "front", "sides",
    }
)  # fmt: skip
_TOLD = ("Do", "For the patient")
ALTERNATIVES = {"duration": ("reps", "hold"), "reps": ("duration",), "hold": ("duration",)}


@dataclass(frozen=True, slots=True)
class Merged:
    """An exercise's values with all it takes; not `whole` where what it varies is not there."""

    raw: RawFile
    values: dict[str, Any]
    places: FilePlaces | VariationPlaces
    text: Mapping[str, str]
    whole: bool
    borrowed: tuple[str, ...] = ()  # what it takes over of the words for another movement


def resolve(
    raws: Mapping[str, RawFile], known: frozenset[str], findings: list[Finding]
) -> Iterator[Merged]:
    """Every exercise with what it varies laid below it; the varied one comes first.

    Nothing is kept longer than its variations need it. `known` are the ids of all files,
    unreadable ones included.
    """
    parents = {id: parent for id, raw in raws.items() if (parent := parent_of(raw)) is not None}
    broken = _broken(raws, parents, known, findings)
    waiting = Counter(parents.values())
    done: dict[str, Merged] = {}
    for id in _parents_first(raws, parents, broken):
        raw, parent = raws[id], parents.get(id)
        if parent is None or parent not in done:
            merged = Merged(raw, raw.values, raw.places, raw.text, whole=id not in broken)
        else:
            merged = _laid(raw, done[parent])
            waiting[parent] -= 1
            if not waiting[parent]:
                del done[parent]
        if waiting[id]:
            done[id] = merged
        yield merged


def parent_of(raw: RawFile) -> str | None:
    """The id that `variation-of` names; None where it names none."""
    parent = raw.values.get("variation-of")
    return parent if isinstance(parent, str) else None


def _laid(raw: RawFile, varied: Merged) -> Merged:
    base = {key: value for key, value in varied.values.items() if not is_own(key)}
    places = VariationPlaces(raw.places, varied.places)
    text = {**varied.text, **raw.text} if raw.text else varied.text
    values = merge(base, raw.values)
    return Merged(raw, values, places, text, varied.whole, _borrowed(raw, varied, values, text))


def _borrowed(
    raw: RawFile, varied: Merged, values: Mapping[str, Any], text: Mapping[str, str]
) -> tuple[str, ...]:
    """Words and pictures that were written for another movement, and that nobody checked."""
    if raw.values.get("words-checked") is True:
        return ()
    taken = [h for h in text if h.split(" (")[0] in _TOLD and h not in raw.text]
    taken += ["pictures"] if values.get("pictures") and "pictures" not in raw.values else []
    moves = bool(_MOVES & raw.values.keys())
    return tuple(name for name in taken if moves or name in varied.borrowed)


def merge(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """`over` laid on `base`: mappings merge, everything else is replaced."""
    excluded = {key for name in over for key in ALTERNATIVES.get(name, ())} - over.keys()
    merged = {key: value for key, value in base.items() if key not in excluded}
    for key, value in over.items():
        before = merged.get(key)
        if isinstance(value, dict) and isinstance(before, dict):
            merged[key] = merge(before, value)
        else:
            merged[key] = value
    return merged


def _broken(
    raws: Mapping[str, RawFile],
    parents: Mapping[str, str],
    known: frozenset[str],
    findings: list[Finding],
) -> frozenset[str]:
    """Variations of themselves or of nothing: their `variation-of` is not followed."""
    broken: set[str] = set()
    settled: dict[str, int] = {}  # exercise -> how many variations deep it is
    for id in raws:
        chain: list[str] = []
        here: str | None = id
        while here is not None and here in raws and here not in settled and here not in chain:
            chain.append(here)
            here = parents.get(here)
        faults = _chain_faults(chain, here, raws, known)
        for each, check, message in faults:
            broken.add(each)
            if message:
                place = raws[each].places.place(("variation-of",))
                findings.append(Finding(check, "error", message, place, (each,)))
        for each in reversed(chain):
            depth = 0 if each in broken else settled.get(parents.get(each, ""), -1) + 1
            settled[each] = depth
            if depth > limits.MOST_VARIATIONS:
                message = (
                    f"more than {limits.MOST_VARIATIONS} variations of variations: vary another"
                )
                broken.add(each)
                settled[each] = 0
                place = raws[each].places.place(("variation-of",))
                findings.append(Finding("variation-loop", "error", message, place, (each,)))
    return frozenset(broken)


def _chain_faults(
    chain: list[str],
    end: str | None,
    raws: Mapping[str, RawFile],
    known: frozenset[str],
) -> Iterator[tuple[str, str, str]]:
    """Faults of a chain of variations that ends where `end` is; no message where told already."""
    if end in chain:
        loop = chain[chain.index(end) :]
        for number, id in enumerate(loop):
            around = " → ".join([*loop[number:], *loop[:number], id])
            message = f"a variation of itself ({around}): remove one variation-of"
            yield id, "variation-loop", message
    elif end is not None and end not in raws:
        hint = did_you_mean(end, known, "write the id of an exercise there is")
        message = f"there is no exercise '{shown(end)}' to vary: {hint}"
        yield chain[-1], "unknown-reference", "" if end in known else message


def _parents_first(
    raws: Mapping[str, RawFile], parents: Mapping[str, str], broken: frozenset[str]
) -> Iterator[str]:
    given: set[str] = set()
    for id in raws:
        chain = []
        here: str | None = id
        while here is not None and here not in given:
            chain.append(here)
            given.add(here)
            here = None if here in broken else parents.get(here)
        yield from reversed(chain)
