"""Where to start on a ladder, for `scripts/start.js`: rungs, entries, tests, orders."""

from __future__ import annotations

from typing import Any

from rungbook.ladder.filters import is_known
from rungbook.ladder.graph import ladder_edges
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.start import gate_words, in_unit
from rungbook.model.ladder import IRRITABILITIES, IRRITABILITY_MEANS, LadderTest
from rungbook.reading.functional_tests import Norms, functional_tests
from rungbook.site.data.limits_data import orders_record
from rungbook.site.data.numbers import short
from rungbook.site.pages.catalogue import Catalogue

Record = dict[str, Any]


def start_record(catalogue: Catalogue, id: str) -> Record:
    """Everything of a ladder that says where to start; nothing of a patient."""
    measured = catalogue.measured
    one = measured.ladders[id]
    ladder = one.ladder
    return {
        "works": [str(action) for action in ladder.works],
        "share": measured.library.settings.entry_share,
        "entries": [
            [word, ladder.entries[word]]
            for word in IRRITABILITIES
            if ladder.entries.get(word) in one.rungs
        ],
        "means": [[word, f"{word}: {IRRITABILITY_MEANS[word]}"] for word in IRRITABILITIES],
        "ordered": bool(ladder.restrictions),
        "rungs": [_rung(measured, one, rung) for rung in one.rungs],
        "edges": [list(edge) for edge in ladder_edges(measured.graph, one.rungs)],
        "tests": [_test(test) for test in ladder.tests],
    }


def _rung(measured: MeasuredLibrary, one: MeasuredLadder, rung: str) -> Record:
    exercise, load = measured.library.exercises[rung], measured.loads.get(rung)
    height, profile = one.height(rung), measured.profiles.get(rung)
    moments = [
        [str(action), short(peak)]
        for action in one.ladder.works
        if profile is not None and (peak := profile.moment(action)) is not None
    ]
    known = measured.library.vocabulary.restrictions
    orders = [(key, known[key]) for key in sorted(one.ladder.restrictions) if key in known]
    return {
        "id": rung,
        "title": exercise.title,
        "height": None if height is None else short(height),
        "moments": moments,
        "known": is_known(load),
        "orders": list(orders_record(exercise, load, orders)),
    }


def _test(test: LadderTest) -> Record:
    found = functional_tests()[test.test]
    return {
        "key": test.test,
        "title": found.title,
        "unit": found.unit,
        "start": [[*in_unit(row, test.test), row.enter] for row in test.start],
        "gate": [*in_unit(test.gate, test.test), test.gate.before, gate_words(test.gate, test.test)]
        if test.gate
        else None,
        "norms": _norms(found.norms),
    }


def _norms(norms: Norms) -> Record:
    return {
        "source": norms.source,
        "read": norms.read,
        "says": norms.says,
        "under": norms.under,
        "over": norms.over,
        "byAge": [[age, *values] for age, values in norms.by_age.items()],
        "toAge": norms.to_age,
    }
