"""Where to start on a ladder: restrictions first, then the lightest of what is told.

Irritability names an entry, a test a rung by the library's own mapping, a strength measured on the
patient the hardest rung within a share of it that the library sets. All that were given are shown,
and the lightest decides. What is expected of healthy people never starts anybody.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from rungbook.ladder.filters import Filters
from rungbook.ladder.graph import reached_from, rungs_below
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.model.criterion import amount
from rungbook.model.ladder import IRRITABILITIES, Gate, Irritability, LadderTest, StartAt
from rungbook.model.movement import Action
from rungbook.reading.functional_tests import FunctionalTest, Norms, functional_tests

LITTLE = 0.5  # of what a measured strength allows; under it "may be too little"; common practice
FAR = float("inf")


@dataclass(frozen=True, slots=True)
class Told:
    """What is known of the patient; `tests` in each test's own unit, `maxima` measured, N·m."""

    irritability: Irritability | None = None
    tests: Mapping[str, float] = field(default_factory=dict)
    maxima: Mapping[Action, float] = field(default_factory=dict)
    age: float | None = None
    male: bool = False


@dataclass(frozen=True, slots=True)
class Suggestion:
    """What one thing that was told leads to; no rung where it closes all."""

    by: str
    says: str
    rung: str | None


@dataclass(frozen=True, slots=True)
class Asked:
    """A test that stands before a rung: whether its result allows it, None where not told."""

    test: str
    before: str
    says: str
    met: bool | None


@dataclass(frozen=True, slots=True)
class Shown:
    """A result beside what is published for people of this age."""

    test: str
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class Start:
    """Where to start, if something says so, and all that was given. `left_out`: why, by rung."""

    ladder: str
    rung: str | None
    suggestions: tuple[Suggestion, ...]
    gates: tuple[Asked, ...]
    norms: tuple[Shown, ...]
    left_out: Mapping[str, str]
    may_be_too_little: bool


def start(measured: MeasuredLibrary, ladder_id: str, told: Told, filters: Filters) -> Start:
    """Where to start on a known ladder; its own restrictions are in force unasked."""
    one = measured.ladders[ladder_id]
    known = measured.library.vocabulary.restrictions
    own = {key: known[key] for key in one.ladder.restrictions if key in known}
    orders = tuple(sorted((own | dict(filters.restrictions)).items()))
    filters = Filters(restrictions=orders, weeks=filters.weeks, lifted=filters.lifted)
    suggestions = tuple(_suggestions(measured, one, told))
    gates = tuple(_gates(one, told))
    left_out = dict(_left_out(measured, one, filters, gates))
    rung = _open(measured, one, _lightest(one, suggestions), left_out)
    norms = tuple(_norms(told))
    little = rung is not None and _too_little(measured, one, told, rung)
    return Start(ladder_id, rung, suggestions, gates, norms, left_out, little)


def _suggestions(
    measured: MeasuredLibrary, one: MeasuredLadder, told: Told
) -> Iterator[Suggestion]:
    entry = _entry(one, told.irritability)
    if entry is not None:
        yield Suggestion("irritability", f"{told.irritability} irritability", entry)
    for test in one.ladder.tests:
        result = told.tests.get(test.test)
        enter = None if result is None else _entered(test, result)
        if result is not None and enter is not None:
            yield Suggestion("test", _result(functional_tests()[test.test], result), enter)
    share = measured.library.settings.entry_share
    for action, maximum in told.maxima.items():
        if action in one.ladder.works:
            says = f"{100 * share:.0f} % of {maximum:g} N·m in {str(action).replace('-', ' ')}"
            yield Suggestion("strength", says, _within(measured, one, action, share * maximum))


def _entry(one: MeasuredLadder, irritability: Irritability | None) -> str | None:
    """The entry of an irritability; where none is named, that of the next higher one."""
    if irritability is None:
        return None
    higher = IRRITABILITIES[: IRRITABILITIES.index(irritability) + 1]
    entries = one.ladder.entries
    named = [entries[word] for word in reversed(higher) if entries.get(word) in one.rungs]
    return next(iter(named), None)


def _result(test: FunctionalTest, result: float) -> str:
    unit = "" if test.unit == "repetitions" else f" {test.unit}"
    return f"{test.title}: {result:g}{unit}"


def in_unit(bound: StartAt | Gate, test: str) -> tuple[float | None, float | None]:
    """At least and at most, in the test's own unit."""
    unit = functional_tests()[test].unit
    least, most = (
        None if value is None else amount(value, unit) for value in (bound.at_least, bound.at_most)
    )
    return least, most


def _allows(bound: StartAt | Gate, test: str, result: float) -> bool:
    least, most = in_unit(bound, test)
    return (least is None or result >= least) and (most is None or result <= most)


def _entered(test: LadderTest, result: float) -> str | None:
    """The rung of the narrowest row that the result falls into."""
    fitting = [row for row in test.start if _allows(row, test.test, result)]

    def narrow(row: StartAt) -> tuple[float, float]:
        least, most = in_unit(row, test.test)
        return -(least if least is not None else -FAR), most if most is not None else FAR

    return min(fitting, key=narrow).enter if fitting else None


def _within(
    measured: MeasuredLibrary, one: MeasuredLadder, action: Action, most_nm: float
) -> str | None:
    """The hardest rung that asks for no more than so much of an action, N·m."""
    known = [
        (peak, rung)
        for rung in one.rungs
        if rung in measured.profiles
        and (peak := measured.profiles[rung].moment(action)) is not None
        and peak <= most_nm
    ]
    return max(known, key=lambda each: (each[0], one.rungs.index(each[1])))[1] if known else None


def _lightest(one: MeasuredLadder, suggestions: Iterable[Suggestion]) -> str | None:
    """By height where all are known, else by the order of the ladder."""
    rungs = [each.rung for each in suggestions if each.rung in one.rungs]
    heights = {rung: one.height(rung) for rung in rungs if rung is not None}
    known = all(height is not None for height in heights.values())
    return min(
        heights,
        key=lambda rung: (heights[rung] if known else 0.0, one.rungs.index(rung)),
        default=None,
    )


def _gates(one: MeasuredLadder, told: Told) -> Iterator[Asked]:
    for test in one.ladder.tests:
        if test.gate is not None:
            result = told.tests.get(test.test)
            met = None if result is None else _allows(test.gate, test.test, result)
            yield Asked(test.test, test.gate.before, gate_words(test.gate, test.test), met)


def gate_words(gate: Gate, test: str) -> str:
    """What a gate asks: `One-leg stance: at least 5 s`."""
    found = functional_tests()[test]
    least, most = in_unit(gate, test)
    unit = "" if found.unit == "repetitions" else f" {found.unit}"
    bounds = [f"at least {least:g}{unit}"] if least is not None else []
    bounds += [f"at most {most:g}{unit}"] if most is not None else []
    return f"{found.title}: {' and '.join(bounds)}"


def _left_out(
    measured: MeasuredLibrary, one: MeasuredLadder, filters: Filters, gates: Iterable[Asked]
) -> Iterator[tuple[str, str]]:
    closed = {
        rung: gate.says
        for gate in gates
        if gate.met is False
        for rung in reached_from(measured.graph, [gate.before])
    }
    for rung in one.rungs:
        verdict = filters.verdict_on(measured.library.exercises[rung], measured.loads.get(rung))
        if not verdict.fits:
            yield rung, verdict.words
        elif rung in closed:
            yield rung, closed[rung]


def _open(
    measured: MeasuredLibrary, one: MeasuredLadder, rung: str | None, left_out: Mapping[str, str]
) -> str | None:
    """The rung, or the nearest easier one that is not left out."""
    if rung is None or rung not in left_out:
        return rung
    below = rungs_below(measured.graph, rung)
    easier = [each for each in one.rungs if each in below and each not in left_out]
    return min(easier, key=lambda each: (below[each], -one.rungs.index(each)), default=None)


def _too_little(measured: MeasuredLibrary, one: MeasuredLadder, told: Told, rung: str) -> bool:
    """Whether a measured strength would allow far more than the rung asks for."""
    share = measured.library.settings.entry_share
    profile = measured.profiles.get(rung)
    allowed = [
        (share * maximum, peak)
        for action, maximum in told.maxima.items()
        if action in one.ladder.works
        and profile is not None
        and (peak := profile.moment(action)) is not None
    ]
    return bool(allowed) and all(peak < LITTLE * most for most, peak in allowed)


def _norms(told: Told) -> Iterator[Shown]:
    for key, result in told.tests.items():
        test = functional_tests()[key]
        says = norm_words(test.norms, result, told.age, told.male)
        yield Shown(
            key, f"{_result(test, result)}: {says}", f"{test.norms.source}, {test.norms.read}"
        )


def norm_words(norms: Norms, result: float, age: float | None, male: bool) -> str:
    """What is published of a result, for the people it was measured on."""
    least = norms.least(age, male)
    if least is not None:
        word = norms.says if result < least else f"not {norms.says}"
        return f"{word} (under {least:g})"
    if norms.over is not None:
        word = norms.says if result > norms.over else f"not {norms.says}"
        return f"{word} (over {norms.over:g})"
    return "nothing is published for this age" if age is not None else "say the age to compare"
