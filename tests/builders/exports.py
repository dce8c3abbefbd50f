"""A small library with everything that exports must carry, and awkward words in it."""

from __future__ import annotations

import pathlib

from builders.library import library_folder
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads
from rungbook.reading.read import read_library

DEMO = pathlib.Path(__file__).parents[2] / "library"
AWKWARD = "Raise \"high\" & <low>; 50 % \\N, 深蹲 'n' ]]> =1+1"


def measured_library(root: pathlib.Path) -> MeasuredLibrary:
    """Read, computed and measured, without checks."""
    library = read_library(root)
    return measure(library, compute_loads(library.exercises.values(), library))


def awkward_library(tmp: pathlib.Path, url: str = "") -> MeasuredLibrary:
    """Two exercises and a ladder, titles and texts of which try every format's escapes."""
    easy = {
        "title": AWKWARD,
        "area": "calf",
        "works": "ankle plantarflexion",
        "movement": [{"ankle": {"plantarflexion": [0, 30]}}],
        "dose": {
            "sets": 1,
            "duration": "90 s",
            "sessions": "2.5 per week",
            "effort": "2.5-4 of 10",
        },
        "sources": ["one", "two"],
        "cautions": ["heart"],
        "progressions": [
            {"to": "hard", "when": ["calm; no pain", "<b>"], "after": "10 days", "because": "next"}
        ],
        "text": {"Do": "- up\n- down\n\n=SUM(A1)", "Own words": "x"},
    }
    hard = {
        "title": "-Hard",
        "variation-of": "easy",
        "dose": {"sets": 3, "reps": "8-12", "sessions": "2 per day"},
        "reviewed": {"date": "2026-05-01", "by": "Somebody"},
    }
    ranges = {"sets": "2-3", "hold": "10-30 s", "sessions": "2-3 per week"}
    long = {"title": "Long name", "dose": ranges}
    ladder = {
        "title": "Ladder & co",
        "works": "ankle plantarflexion",
        "condition": "tendon",
        "goal": "hard",
        "goal-met": ["done"],
        "entries": {"high": "easy", "low": "hard"},
        "pain-rule": {"during": 3, "settles-within": "next morning", "source": "one"},
    }
    vocabulary = {
        "areas": {"calf": {"title": "Calf & ankle"}},
        "cautions": {"heart": {"title": "Unstable heart", "red-flag": True}},
        "sources": {
            "one": {"title": "A study.", "authors": "A B", "year": 2020, "doi": "10.1000/182"},
            "two": {"title": "A page", "url": "https://example.org/a?b=c&d"},
        },
    }
    settings = f"name: A & B <clinic>\n{f'site: {{url: {url}}}' if url else ''}\n"
    root = library_folder(
        tmp,
        {"calf/easy": easy, f"calf/{'x' * 80}": long, "calf/hard": hard},
        {"up": ladder},
        settings,
        vocabulary,
    )
    return measured_library(root)
