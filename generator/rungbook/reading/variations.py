"""`variation-of`: what an exercise takes from another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungbook.model.finding import Finding
from rungbook.reading import limits
from rungbook.reading.places import OWN_KEYS, FilePlaces, VariationPlaces
from rungbook.reading.raw import RawFile
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean


class Variations:
    """Resolves each exercise once, the varied one before its variations."""

    def __init__(self, raws: Mapping[str, RawFile], known: frozenset[str]) -> None:
        self.raws = raws
        self.known = known  # ids of files that could not be read are known too
        self.merged: dict[
            str, tuple[dict[str, Any], FilePlaces | VariationPlaces, dict[str, str]]
        ] = {}
        self.broken: set[str] = set()  # variations of something that is not there, or of themselves
        self.findings: list[Finding] = []
        for id in raws:
            self._resolve(id)

    def _resolve(self, id: str) -> None:
        chain = self._chain(id)
        for each in reversed(chain):
            raw = self.raws[each]
            parent = self._parent(each)
            if parent is None or each in self.broken:
                self.merged[each] = raw.values, raw.places, raw.text
            elif parent in self.broken or parent not in self.merged:
                self.broken.add(each)
                self.merged[each] = raw.values, raw.places, raw.text
            else:
                values, places, text = self.merged[parent]
                self.merged[each] = (
                    merge(without_own(values), raw.values),
                    VariationPlaces(raw.places, places),
                    {**text, **raw.text} if raw.text else text,
                )

    def _parent(self, id: str) -> str | None:
        parent = self.raws[id].values.get("variation-of")
        return parent if isinstance(parent, str) else None

    def _chain(self, id: str) -> list[str]:
        """The exercise and what it varies, up to one already resolved or to a fault."""
        chain: list[str] = []
        here: str | None = id
        while here is not None and here not in self.merged:
            if here in chain:
                self._loop(chain[chain.index(here) :])
                break
            if len(chain) > limits.MOST_VARIATIONS:
                message = f"a chain of more than {limits.MOST_VARIATIONS} variations: shorten it"
                self._find(id, "variation-loop", message)
                break
            if here not in self.raws:
                self._missing(chain[-1], here)
                break
            chain.append(here)
            here = self._parent(here)
        return chain

    def _loop(self, loop: list[str]) -> None:
        for number, id in enumerate(loop):
            around = " → ".join([*loop[number:], *loop[:number], id])
            self._find(
                id, "variation-loop", f"a variation of itself ({around}): remove one variation-of"
            )

    def _missing(self, id: str, parent: str) -> None:
        self.broken.add(id)
        if parent not in self.known:
            hint = did_you_mean(parent, self.known, "write the id of an exercise there is")
            self._find(
                id, "unknown-reference", f"there is no exercise '{shown(parent)}' to vary: {hint}"
            )

    def _find(self, id: str, check: str, message: str) -> None:
        self.broken.add(id)
        place = self.raws[id].places.place(("variation-of",))
        self.findings.append(Finding(check, "error", message, place, (id,)))


def without_own(values: Mapping[str, Any]) -> dict[str, Any]:
    """The values a variation may take."""
    return {key: value for key, value in values.items() if key not in OWN_KEYS}


# Continuous work and counted work exclude one another: what a variation writes wins.
ALTERNATIVES = {"duration": ("reps", "hold"), "reps": ("duration",), "hold": ("duration",)}


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
