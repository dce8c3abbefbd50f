"""`variation-of`: what is taken, what is not, and where inherited values lie."""

import pathlib

from builders.reading import SOUND, changed, sound_library, told
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.variations import merge


def variation(lines: str, of: str = "raise", text: str = "") -> str:
    return f"---\ntitle: Variation\nvariation-of: {of}\n{lines}---\n{text}"


def test_everything_not_restated_is_taken(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"calf/loaded": variation("incline: 5\n")})
    base, loaded = library.exercises["raise"], library.exercises["loaded"]
    assert told(library) == []
    assert loaded.movement == base.movement
    assert loaded.contacts == base.contacts
    assert loaded.dose == base.dose
    assert loaded.text == {"Do": "Rise."}
    assert (loaded.title, loaded.incline, loaded.area) == ("Variation", 5, "calf")


def test_a_variation_is_what_the_same_text_written_out_would_be(tmp_path: pathlib.Path) -> None:
    lines = (
        "works: [ankle plantarflexion, knee extension]\n"
        "dose: {sets: 5}\nposture: {hip: {flexion: 9}}\n"
    )
    written = changed("title: Heel raise", "title: Variation")
    written = changed("works: ankle plantarflexion\n", lines.partition("dose")[0], written)
    written = changed("dose: {sets: 3,", "posture: {hip: {flexion: 9}}\ndose: {sets: 5,", written)
    written = written[: written.index("progressions:")] + written[written.index("---\n## Do") :]
    library = sound_library(tmp_path, {"calf/short": variation(lines), "calf/long": written})
    assert told(library) == []
    unequal = {"id": None, "variation_of": None, "source": None, "borrowed": ()}
    short, long = library.exercises["short"], library.exercises["long"]
    assert dict(short) | unequal == dict(long) | unequal


def test_some_keys_are_always_its_own(tmp_path: pathlib.Path) -> None:
    own = (
        "also-called: [calf raise]\nreviewed: {date: 2026-05-01, by: Physiotherapist}\n"
        "measured: [{works: ankle plantarflexion, value: 1 Nm/kg, source: book}]\n"
        "accepts: [{check: single-way, because: only one, until: 2027-01-01}]\n"
        "draft: intake\nsides: both"
    )
    base = changed("sides: both", own)
    library = sound_library(tmp_path, {"calf/raise": base, "calf/loaded": variation("")})
    loaded = library.exercises["loaded"]
    assert (loaded.also_called, loaded.reviewed, loaded.measured) == ((), None, ())
    assert (loaded.accepts, loaded.draft, loaded.progressions) == ((), None, ())


def test_a_list_is_replaced_and_a_mapping_merged(tmp_path: pathlib.Path) -> None:
    lines = "contacts: [{at: feet, surface: floor}]\ndose: {sets: 5}\n"
    loaded = sound_library(tmp_path, {"calf/loaded": variation(lines)}).exercises["loaded"]
    assert [contact.at for contact in loaded.contacts] == ["feet"]
    assert loaded.dose is not None and loaded.dose.reps is not None
    assert (loaded.dose.sets, loaded.dose.reps.low, loaded.dose.rest) == (5, 12, 60.0)


def test_continuous_work_takes_the_place_of_counted_work(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"calf/timed": variation("dose: {duration: 60 s}\n")})
    dose = library.exercises["timed"].dose
    assert told(library) == []
    assert dose is not None and (dose.reps, dose.duration, dose.sets) == (None, 60.0, 3)


def test_an_empty_value_takes_away(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"calf/bare": variation("dose: ~\ncontacts: []\n")})
    assert told(library) == []
    assert (library.exercises["bare"].dose, library.exercises["bare"].contacts) == (None, ())


def test_sections_are_taken_one_by_one(tmp_path: pathlib.Path) -> None:
    text = "## Do\nRise faster.\n\n## Watch for\nKnees.\n"
    library = sound_library(tmp_path, {"calf/fast": variation("", text=text)})
    assert library.exercises["fast"].text == {"Do": "Rise faster.", "Watch for": "Knees."}


def test_chains_are_followed(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path,
        {"calf/a": variation("incline: 5\n", of="b"), "calf/b": variation("dose: {sets: 9}\n")},
    )
    dose = library.exercises["a"].dose
    assert told(library) == []
    assert dose is not None and (dose.sets, dose.rest) == (9, 60.0)
    assert library.exercises["a"].works == library.exercises["raise"].works


def test_a_value_lies_where_it_was_written(tmp_path: pathlib.Path) -> None:
    lines = "dose: {sets: 5}\ncontacts: [{at: feet, surface: floor}]\n"
    library = sound_library(tmp_path, {"calf/loaded": variation(lines, text="## Do\nx\n")})
    loaded = library.exercises["loaded"]
    mine, base = "exercises/calf/loaded.md", "exercises/calf/raise.md"
    assert loaded.place("dose", "sets") == Place(mine, 4, 14)
    assert loaded.place("dose", "rest") == Place(base, 11, 42)
    assert loaded.place("dose") == Place(mine, 4, 7)
    assert loaded.place("works") == Place(base, 6, 8)
    assert loaded.source.key_place(("works",)) == Place(base, 6, 1)
    assert loaded.place("contacts", 0, "at") == Place(mine, 5, 17)
    # What replaced a list has no second item, and the variation has no progressions.
    assert loaded.place("contacts", 1, "share") == Place(mine, 5, 11)
    assert loaded.place("progressions", 0, "to") == Place(mine, 2, 1)
    assert loaded.place() == Place(mine, 2, 1)
    assert loaded.place("text", "Do") == Place(mine, 7, 1)


def test_an_inherited_fault_is_told_once_where_it_was_written(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path,
        {
            "calf/raise": changed("position: standing", "position: standinng"),
            "calf/a": variation(""),
            "calf/z": variation("", of="a"),
        },
    )
    assert [str(finding.place) for finding in library.findings] == ["exercises/calf/raise.md:5:11"]
    assert library.findings[0].exercises == ("raise",)
    assert library.withheld == {"a", "raise", "z"}


def test_an_inherited_dangling_reference_is_told_once(tmp_path: pathlib.Path) -> None:
    base = changed("cautions: [repair]", "cautions: [repiar]")
    library = sound_library(tmp_path, {"calf/raise": base, "calf/a": variation("")})
    assert [finding.exercises for finding in library.findings] == [("raise",)]
    assert sorted(library.exercises) == ["a", "hop", "raise"]


def test_a_variation_of_nothing_is_told_without_cascading(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path, {"calf/a": variation("", of="rise"), "calf/b": variation("", of="a")}
    )
    assert told(library) == [
        "a.md:3:15 unknown-reference: there is no exercise 'rise' to vary: did you mean 'raise'?"
    ]
    assert library.withheld == {"a", "b"}


def test_a_variation_of_an_unreadable_file_is_left_out_silently(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path, {"calf/a": variation("", of="bad")}, files={"exercises/calf/bad.md": b"\xff"}
    )
    assert [finding.check for finding in library.findings] == ["unreadable-file"]


def test_a_loop_is_told_at_each_of_its_exercises_with_its_chain(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path,
        {
            "calf/a": variation("", of="b"),
            "calf/b": variation("", of="c"),
            "calf/c": variation("", of="a"),
            "calf/d": variation("", of="a"),
        },
    )
    assert told(library) == [
        "a.md:3:15 variation-loop: a variation of itself (a → b → c → a): remove one variation-of",
        "b.md:3:15 variation-loop: a variation of itself (b → c → a → b): remove one variation-of",
        "c.md:3:15 variation-loop: a variation of itself (c → a → b → c): remove one variation-of",
    ]
    assert library.withheld == {"a", "b", "c", "d"}


def test_a_variation_of_itself_is_a_loop(tmp_path: pathlib.Path) -> None:
    assert told(sound_library(tmp_path, {"calf/a": variation("", of="a")})) == [
        "a.md:3:15 variation-loop: a variation of itself (a → a): remove one variation-of"
    ]


def test_a_very_long_chain_is_refused(tmp_path: pathlib.Path) -> None:
    chain = {f"calf/v{n}": variation("", of=f"v{n - 1}" if n else "raise") for n in range(60)}
    library = sound_library(tmp_path, chain)
    assert {finding.check for finding in library.findings} == {"variation-loop"}
    assert f"v{limits.MOST_VARIATIONS - 1}" in library.exercises


def test_merging_leaves_what_it_merges_alone() -> None:
    base = {"a": {"b": 1, "c": 2}, "d": (1,)}
    assert merge(base, {"a": {"b": 3}, "d": ()}) == {"a": {"b": 3, "c": 2}, "d": ()}
    assert base == {"a": {"b": 1, "c": 2}, "d": (1,)}
    assert SOUND.startswith("---")
