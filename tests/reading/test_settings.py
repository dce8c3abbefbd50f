"""library.yml, vocabularies and ladders: their faults and their defaults."""

import pathlib

import pytest

from builders.reading import LADDER, changed, sound_library, told
from rungbook.body.segments import table_names
from rungbook.model.ladder import PainRule
from rungbook.model.library import BODIES, Settings, Term
from rungbook.model.place import Place
from rungbook.model.quantity import AngleLimit

AXES = (
    "the axes are demand, bearing, impact, range, lengthening, speed, stability, volume, changes, "
    "elsewhere"
)
LEVERS = "assistance, volume, range, lever-arm, resistance, position"


@pytest.mark.parametrize(
    "case",
    [
        ("nmae: x\n", "1:1 unknown-field: unknown key 'nmae': did you mean 'name'?"),
        ("person: {mass: 70}\n",
         "1:16 wrong-unit: 'mass' is 70, not a number with a unit, such as '2 kg' or '5 lb': "
         "correct it"),
        ("person: {mass: 70 kg, statur: 1.7 m}\n",
         "1:23 unknown-field: unknown key 'statur': did you mean 'stature'?"),
        ("person: {mass: 7 kg}\n",
         "1:16 wrong-value: 'mass' is '7 kg', not at least 20: correct it"),
        ("person: {body: femal}\n",
         "1:16 wrong-value: 'body' is 'femal', not one of female, male, winter: "
         "did you mean 'female'?"),
        ("limits: {demnad: 1.4}\n",
         "1:10 unknown-field: 'demnad' is no axis of demand: did you mean 'demand'?"),
        ("limits: {zzz: 1.4}\n", f"1:10 unknown-field: 'zzz' is no axis of demand: {AXES}"),
        ("limits: {demand: 0.9}\n",
         "1:18 wrong-value: 'demand' is 0.9, but a ratio from one rung to the next is above 1: "
         "write one such as 1.5, or off"),
        ("limits: {bearing: 30}\n",
         "1:19 wrong-unit: 'bearing' is 30, not a share of body weight: write '30 %'"),
        ("limits: {demand: lots}\n",
         "1:18 wrong-value: 'demand' is 'lots', not a limit such as 1.5, '30 %' or off: "
         "correct it"),
        ("levers: [assistence]\n",
         f"1:10 wrong-value: 'levers' is 'assistence', not one of {LEVERS}: "
         "did you mean 'assistance'?"),
        ("review: {every: two years}\n",
         "1:17 wrong-value: 'every' is 'two years', not a time such as '24 months': correct it"),
        ("checks: {reading-grade: of}\n",
         "1:25 wrong-value: 'reading-grade' is 'of', not one of error, warning, note, off: "
         "did you mean 'off'?"),
        ("pain-rule: {during: 11, source: book}\n",
         "1:21 wrong-value: 'during' is 11, not at most 10: correct it"),
        ("pain-rule: {during: 5, source: bok}\n",
         "1:32 unknown-reference: there is no source 'bok': did you mean 'book'? "
         "Else add it to vocabulary/sources.yml ('bok: its title') or remove it"),
        ("flare-up: [{lasts: a day}]\n",
         "1:12 missing-field: 'do' is missing: add it"),
        ("flare-up: [{lasts: a day, do: less, back: one rungs}]\n",
         "1:43 wrong-value: 'back' is 'one rungs', not one of same rung, one rung, entry: "
         "did you mean 'one rung'?"),
        ("site: {url: 'javascript:alert(1)'}\n",
         "1:13 wrong-value: 'url' is 'javascript:alert(1)', "
         "not an address such as https://example.org: correct it",
         "1:14 unsafe-markup: a link that runs a program is removed from the pages: "
         "link to a page instead"),
        ("site: {colour: 'red; background: url(x)'}\n",
         "1:16 wrong-value: 'colour' is 'red; background: url(x)', "
         "not a colour such as '#0b5563', in quotes: correct it"),
        ("diagrams: {engine: ./run-me}\n",
         "1:20 wrong-value: 'engine' is './run-me', "
         "not the name of a Graphviz command, such as dot: correct it"),
        ("diagrams: {engine: dotnet}\n",
         "1:20 wrong-value: 'engine' is 'dotnet', "
         "not the name of a Graphviz command, such as dot: correct it"),
        ("site: {url: 'https://[::1'}\n",
         "1:13 wrong-value: 'url' is 'https://[::1', "
         "not an address such as https://example.org: correct it"),
        ("site: {url: 'https://example.org:99999'}\n",
         "1:13 wrong-value: 'url' is 'https://example.org:99999', "
         "not an address such as https://example.org: correct it"),
        ("language: ../de\n",
         "1:11 wrong-value: 'language' is '../de', not a language such as en or de: correct it"),
        ("source: x\n",
         "1:1 unknown-field: unknown key 'source': "
         "remove it, or see `rungbook words fields`"),
    ],
)  # fmt: skip
def test_a_fault_of_library_yml_is_told(tmp_path: pathlib.Path, case: tuple[str, ...]) -> None:
    settings, *expected = case
    found = told(sound_library(tmp_path, settings=settings))
    assert found == [f"library.yml:{line}" for line in expected]


def test_a_fault_of_library_yml_leaves_the_rest_in_force(tmp_path: pathlib.Path) -> None:
    text = "name: Clinic\nlimits: {demand: 0.5, range: 20}\nlevers: [nothing]\n"
    settings = sound_library(tmp_path, settings=text).settings
    assert (settings.name, settings.limits) == ("Clinic", {"range": 20.0})
    assert settings.levers == Settings().levers


def test_there_is_a_table_for_each_body_that_may_be_written() -> None:
    assert set(BODIES) == set(table_names())


def test_limits_are_read(tmp_path: pathlib.Path) -> None:
    text = "limits: {demand: 1.4, bearing: 30 %, speed: off}\n"
    assert sound_library(tmp_path, settings=text).settings.limits == {
        "demand": 1.4, "bearing": 0.3, "speed": "off",
    }  # fmt: skip


def test_common_practice_is_a_source_of_a_rule(tmp_path: pathlib.Path) -> None:
    text = "pain-rule: {during: 5, source: common practice}\n"
    assert told(sound_library(tmp_path, settings=text)) == []


@pytest.mark.parametrize(
    ("kind", "text", "expected"),
    [
        ("cautions", "repair: {text: x}\n", "1:9 missing-field: 'title' is missing: add it"),
        ("cautions", "repair:\n",
         "1:1 missing-field: 'repair' needs a title: write 'repair: its title'"),
        ("cautions", "repair: x\nNew One: y\n",
         "2:1 wrong-value: a key is made of a-z, 0-9 and single hyphens, such as 'new-one': "
         "rename it"),
        ("cautions", "repair: {title: x, redflag: true}\n",
         "1:20 unknown-field: unknown key 'redflag': did you mean 'red-flag'?"),
        ("cautions", "repair: {title: x, sources: [bok]}\n",
         "1:30 unknown-reference: there is no source 'bok': did you mean 'book'? "
         "Else add it to vocabulary/sources.yml ('bok: its title') or remove it"),
        ("restrictions", "hip: {title: x, never: [{hip: {flexion: above 90}}]}\n",
         "1:41 wrong-value: 'flexion' is 'above 90', not a limit in degrees such as 'over 90' "
         "or 'under 10': correct it"),
        ("restrictions", "hip: {title: x, never: [{hip: {flexon: over 90}}]}\n",
         "1:32 wrong-value: 'flexon' is not a movement of the hip: did you mean 'flexion'? "
         "It has flexion, extension, abduction, adduction, external-rotation, "
         "internal-rotation"),
    ],
)  # fmt: skip
def test_a_fault_of_a_vocabulary_is_told(
    tmp_path: pathlib.Path, kind: str, text: str, expected: str
) -> None:
    found = told(sound_library(tmp_path, vocabulary={kind: text}))
    assert found == [f"vocabulary/{kind}.yml:{expected}"]


def test_a_faulty_entry_is_known_and_does_not_cascade(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, vocabulary={"cautions": "repair: {titel: x}\n"})
    assert {finding.place.file for finding in library.findings} == {"vocabulary/cautions.yml"}


def test_an_unknown_vocabulary_is_told(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, vocabulary={"caution": "x: y\n"})
    assert told(library) == [
        "vocabulary/caution.yml:1:1 unknown-field: no vocabulary has this name: "
        "did you mean 'cautions.yml'?"
    ]


def test_words_of_the_search_stand_for_words(tmp_path: pathlib.Path) -> None:
    text = "quads: knee extension\nnew hip: [hip replacement, hip]\nslr: []\ncore: {means: back}\n"
    library = sound_library(tmp_path, vocabulary={"search": text})
    assert library.vocabulary.search == {
        "quads": ("knee extension",), "new hip": ("hip replacement", "hip"), "slr": (),
    }  # fmt: skip
    assert told(library) == [
        "vocabulary/search.yml:4:7 wrong-value: a few words stand for others here, each at most "
        "80 letters: write 'core: [the words it stands for]', or [] for none"
    ]


def test_a_title_alone_is_an_entry(tmp_path: pathlib.Path) -> None:
    vocabulary = sound_library(tmp_path).vocabulary
    assert vocabulary.cautions["repair"] == Term(title="Recent repair")
    assert vocabulary.equipment["towel"].assists == "felt"
    assert vocabulary.places["cautions"].place(("repair",)) == Place(
        "vocabulary/cautions.yml", 1, 9
    )


def test_the_limits_of_a_restriction_are_numbers(tmp_path: pathlib.Path) -> None:
    text = "hip: {title: x, never: [{hip: {flexion: over 90}}, {knee: {flexion: under 10}}]}\n"
    restriction = sound_library(tmp_path, vocabulary={"restrictions": text}).vocabulary.restrictions
    assert restriction["hip"].never == (
        {"hip": {"flexion": AngleLimit("over", 90.0)}},
        {"knee": {"flexion": AngleLimit("under", 10.0)}},
    )


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("goal: hop\n", "", "2:1 missing-field: 'goal' is missing: add it"),
        ("goal: hop", "goal: hopp",
         "3:7 unknown-reference: there is no exercise 'hopp': did you mean 'hop'?"),
        ("entries: {high: raise, low: raise}\n", "",
         "2:1 missing-field: 'entries' is missing: "
         "say where to start, such as {high: …, moderate: …, low: …}"),
        ("low: raise", "low: rase",
         "4:29 unknown-reference: there is no exercise 'rase': did you mean 'raise'?"),
        ("{high: raise, low: raise}", "{}",
         "4:1 wrong-value: no entry: say where to start, such as {high: …, low: …}"),
        ("low: raise", "lows: raise",
         "4:24 wrong-value: 'lows' is not one of high, moderate, low: did you mean 'low'?"),
        ("goal: hop", "goal: hop\npain-rule: defualt",
         "4:12 wrong-value: 'pain-rule' is 'defualt', not one of default: "
         "did you mean 'default'?"),
        ("goal: hop", "goal: hop\npain-rule: {during: 3}",
         "4:12 missing-field: 'source' is missing: "
         "name where the rule comes from, or 'common practice'"),
        ("goal: hop", "goal: hop\nlimits: {demand: 1}",
         "4:18 wrong-value: 'demand' is 1, but a ratio from one rung to the next is above 1: "
         "write one such as 1.5, or off"),
        ("goal: hop", "goal: hop\nrungs: [raise, hop]",
         "4:1 unknown-field: unknown key 'rungs': "
         "remove it, or see `rungbook words fields`"),
    ],
)  # fmt: skip
def test_a_fault_of_a_ladder_is_told(
    tmp_path: pathlib.Path, old: str, new: str, expected: str
) -> None:
    library = sound_library(tmp_path, ladders={"calf": changed(old, new, LADDER)})
    found = [line for line in told(library) if "raise.md" not in line]
    assert found == [f"ladders/calf.md:{expected}"]
    assert library.findings[0].ladder == "calf"


def test_a_ladder_is_about_what_its_goal_works(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path)
    assert library.ladders["calf"].works == library.exercises["hop"].works


def test_a_ladder_may_have_a_pain_rule_of_its_own(tmp_path: pathlib.Path) -> None:
    text = changed("goal: hop", "goal: hop\npain-rule: {during: 3, source: book}", LADDER)
    ladder = sound_library(tmp_path, ladders={"calf": text}).ladders["calf"]
    assert ladder.pain_rule == PainRule(during=3, source="book")
