"""Computed exercises have names that a clinician would say.

Common practice, no source: the phrases are those of the trade.
"""

import pytest

from builders.exercises import exercise
from rungbook.filling.titles import part_of, thing, title_with
from rungbook.model.library import Library, Term, Vocabulary

EQUIPMENT = {
    "pulley": Term(title="Over-door pulley"),
    "sling": Term(title="Sling over a pulley"),
    "stick": Term(title="Walking stick or broom handle"),
    "bars": Term(title="Parallel bars or a walking frame"),
    "trx": Term(title="TRX"),
}


@pytest.mark.parametrize(
    ("title", "lever", "words", "expected"),
    [
        ("Arm lift lying on the side", "assistance", "a sling carrying half the arm",
         "Arm lift lying on the side, a sling carrying half the arm"),
        ("Arm raise standing, half carried by a stick", "assistance",
         "a stick carrying a quarter of the arm",
         "Arm raise standing, a stick carrying a quarter of the arm"),
        ("Knee straightening with 5 kg", "resistance", "with 1.5 kg",
         "Knee straightening with 1.5 kg"),
        ("Knee straightening, sitting, with an ankle weight", "resistance", "with 1.5 kg",
         "Knee straightening, sitting, with 1.5 kg"),
        ("Press-up on the floor", "position", "with the hands on a bench 45 cm high",
         "Press-up with the hands on a bench 45 cm high"),
        ("Standing up from a chair", "position", "from a couch 55 cm high",
         "Standing up from a couch 55 cm high"),
        ("Step-up, 30 cm", "position", "on a step 20 cm high", "Step-up on a step 20 cm high"),
        ("Trunk hold, 60 s", "volume", "held 15 s", "Trunk hold, held 15 s"),
        ("Arm raise standing", "position", "lying on the back", "Arm raise lying on the back"),
        ("Heel raise, one leg", "assistance", "with a quarter of the body weight on a counter",
         "Heel raise, one leg, with a quarter of the body weight on a counter"),
        ("Bridge, both legs", "assistance", "with a fifth of the body weight on the other foot",
         "Bridge with a fifth of the body weight on the other foot"),
        ("Small knee bend at the counter", "assistance",
         "with 10 % of the body weight on a counter",
         "Small knee bend with 10 % of the body weight on a counter"),
        ("Hip hinge standing, hands on a counter", "assistance", "without the hands",
         "Hip hinge standing, without the hands"),
        ("Lifting a box of 10 kg from knee height", "resistance", "with 2 kg",
         "Lifting a box from knee height with 2 kg"),
        ("Press-up at a table", "position", "with the hands on a bench 45 cm high",
         "Press-up with the hands on a bench 45 cm high"),
        ("Arm raise standing, arm straight", "lever-arm", "the elbow bent to a right angle",
         "Arm raise standing, the elbow bent to a right angle"),
    ],
)  # fmt: skip
def test_a_title_says_what_is_set_and_nothing_against_it(title, lever, words, expected):
    assert title_with(exercise(title=title), [(lever, words)]) == expected


def test_a_title_never_says_as_in_another_exercise():
    both = [("assistance", "a sling carrying half the arm"), ("range", "only to 60°")]
    title = title_with(exercise(title="Arm raise"), both)
    assert title == "Arm raise, a sling carrying half the arm, only to 60°"


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.25, "a quarter of the arm"), (0.5, "half the arm"), (0.75, "three quarters of the arm"),
     (0.6, "60 % of the arm"), (1.0, "all of the arm")],
)  # fmt: skip
def test_quarters_are_said_as_quarters(share, words):
    assert part_of(share, "the arm") == words


@pytest.mark.parametrize(
    ("key", "words"),
    [("pulley", "an over-door pulley"), ("sling", "a sling over a pulley"),
     ("stick", "a walking stick"), ("bars", "the parallel bars"), ("trx", "a TRX"),
     ("other-arm", "the other arm"), ("therapist", "the therapist"), ("floor", "the floor")],
)  # fmt: skip
def test_things_have_their_article(key, words, tmp_path):
    assert thing(key, Library(tmp_path, vocabulary=Vocabulary(equipment=EQUIPMENT))) == words
