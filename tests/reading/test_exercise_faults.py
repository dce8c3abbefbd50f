"""Every fault of an exercise is told at its line and column, with what to do."""

import pathlib

import pytest

from builders.reading import changed, sound_library, told


def test_the_sound_library_has_no_finding(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path)
    assert told(library) == []
    assert sorted(library.exercises) == ["hop", "raise"]
    assert sorted(library.ladders) == ["calf"]


CASES = [
    # Keys and missing keys.
    ("title: Heel raise", "titel: Heel raise",
     "raise.md:2:1 missing-field: 'title' is missing: add it",
     "raise.md:2:1 unknown-field: unknown key 'titel': did you mean 'title'?"),
    ("sides: both", "id: other",
     "raise.md:4:1 unknown-field: unknown key 'id': the file's name is the id: remove this line"),
    ("share: 5 %", "shaer: 5 %",
     "raise.md:10:35 unknown-field: unknown key 'shaer': did you mean 'share'?"),
    ("sides: both", "zzzz: 1",
     "raise.md:4:1 unknown-field: unknown key 'zzzz': "
     "remove it, or see `rungbook words fields`"),
    ("sides: both", "also_called: [x]",
     "raise.md:4:1 unknown-field: unknown key 'also_called': did you mean 'also-called'?"),
    ("works: ankle plantarflexion\n", "",
     "raise.md:2:1 missing-field: 'works' is missing: "
     "name the action that the movement loads, such as 'knee extension'"),
    ("{at: forefeet, surface: floor}", "{surface: floor}",
     "raise.md:9:5 missing-field: 'at' is missing: add it"),
    # Values of the wrong kind.
    ("title: Heel raise", "title: 2024",
     "raise.md:2:8 wrong-value: 'title' is 2024, not text: put it in quotes"),
    ("title: Heel raise", "title:",
     "raise.md:2:7 wrong-value: 'title' is empty, not text: write a value, or remove the line"),
    ("title: Heel raise", "title: ''",
     "raise.md:2:8 wrong-value: 'title' is '', "
     "not some words in one line, 300 letters at most: correct it"),
    ("equipment: [counter]", "equipment: counter",
     "raise.md:12:12 wrong-value: 'equipment' is 'counter', not a list, such as [one, two]: "
     "write [counter]"),
    ("title: Heel raise", 'title: "Heel \\e[31m raise"',
     "raise.md:2:8 wrong-value: an escape stands for U+001B, which nobody can see: remove it"),
    ("dose: {sets: 3, ", "dose: {sets: 3.5, ",
     "raise.md:11:14 wrong-value: 'sets' is 3.5, not a whole number such as 3, or 2-3: "
     "correct it"),
    ("dose: {sets: 3, ", "dose: {sets: 0, ",
     "raise.md:11:14 wrong-value: 'sets' is 0, not from 1 to 100: correct it"),
    ("dose: {sets: 3, reps: 12, up: 2 s, rest: 60 s, sessions: 3 per week}", "dose: daily",
     "raise.md:11:7 wrong-value: 'dose' is 'daily', not keys with values: correct it"),
    ("sides: both", "passive: on",
     "raise.md:4:10 wrong-value: 'passive' is 'on', not true or false: correct it"),
    # Words from a list.
    ("sides: both", "sides: boht",
     "raise.md:4:8 wrong-value: 'sides' is 'boht', not one of both, one: did you mean 'both'?"),
    ("position: standing", "position: standign",
     "raise.md:5:11 wrong-value: 'position' is 'standign', not one of standing, split-stance, "
     "single-leg-standing, bent-forward, sitting, reclined, long-sitting, tall-kneeling, "
     "half-kneeling, quadruped, plank, side-plank, supine, hook-lying, prone, prone-on-elbows, "
     "side-lying, side-lying-under: did you mean 'standing'?"),
    ("works: ankle plantarflexion", "works: ankle plantarflexon",
     "raise.md:6:8 wrong-value: 'works' is 'ankle plantarflexon', "
     "not an action such as 'ankle plantarflexion': did you mean 'ankle plantarflexion'?"),
    ("works: ankle plantarflexion", "works: [ankle plantarflexion, knee flexon]",
     "raise.md:6:31 wrong-value: 'works' is 'knee flexon', "
     "not an action such as 'ankle plantarflexion': did you mean 'knee flexion'?"),
    # Names of the body.
    ("movement: [{ankle: {", "movement: [{ancle: {",
     "raise.md:7:13 wrong-value: 'ancle' is not a joint: did you mean 'ankle'?"),
    ("[{ankle: {plantarflexion: [0", "[{ankle: {plantaflexion: [0",
     "raise.md:7:21 wrong-value: 'plantaflexion' is not a movement of the ankle: did you mean "
     "'plantarflexion'? It has dorsiflexion, plantarflexion, inversion, eversion"),
    ("sides: both", "posture: {knee: {abduction: 3}}",
     "raise.md:4:18 wrong-value: 'abduction' is not a movement of the knee: it has flexion, "
     "extension, external-rotation, internal-rotation"),
    ("at: forefeet", "at: forefoots",
     "raise.md:9:10 wrong-value: 'forefoots' is not a point of the body: "
     "did you mean 'forefoot'?"),
    ("[0, 30]", "[0, 30, 60]",
     "raise.md:7:37 wrong-value: 'plantarflexion' is [0, 30, 60], not two angles in degrees, "
     "from and to, such as [0, 30]: correct it"),
    ("sides: both", "posture: {knee: {flexion: 500}}",
     "raise.md:4:27 wrong-value: 'flexion' is 500, not at most 360: correct it"),
    ("sides: both", "posture: {knee: {flexion: .nan}}",
     "raise.md:4:27 wrong-value: 'flexion' is nan, not a plain number: correct it"),
    # Units.
    ("rest: 60 s", "rest: 60",
     "raise.md:11:42 wrong-unit: 'rest' is 60, not a number with a unit, such as '30 s': "
     "correct it"),
    ("rest: 60 s", "rest: 60 kg",
     "raise.md:11:42 wrong-unit: 'rest' is '60 kg', not in a unit that fits here, "
     "such as '30 s': correct it"),
    ("rest: 60 s", "rest: a minute",
     "raise.md:11:42 wrong-value: 'rest' is 'a minute', not a number with a unit, "
     "such as '30 s': correct it"),
    ("up: 2 s", "up: 0 s",
     "raise.md:11:31 wrong-value: 'up' is '0 s', not between 0.1 s and 24 h: correct it"),
    ("share: 5 %", "share: 120 %",
     "raise.md:10:42 wrong-value: 'share' is '120 %', not between 0 and 100 %: correct it"),
    ("sides: both", "resistance: [{weight: -2 kg, at: hand}]",
     "raise.md:4:23 wrong-value: 'weight' is '-2 kg', not between 0 and 500 kg: correct it"),
    ("reps: 12", "reps: twelve",
     "raise.md:11:23 wrong-value: 'reps' is 'twelve', "
     "not a number of repetitions, such as 12 or 8-12: correct it"),
    ("sessions: 3 per week", "sessions: often",
     "raise.md:11:58 wrong-value: 'sessions' is 'often', "
     "not a frequency such as '3 per week', '2-3 per week' or '2 per day': correct it"),
    ("sides: both", "reviewed: {date: 2026-02-30, by: me}",
     "raise.md:4:18 wrong-value: 'date' is '2026-02-30', not a date such as 2026-05-01: "
     "correct it"),
    ("sides: both",
     "kind-of-work: [{action: ankle plantarflexion, kind: easy, because: x}]",
     "raise.md:4:53 wrong-value: 'kind' is 'easy', not one of none, passive, assisted, active, "
     "resisted, held: write one of these"),
    ("sides: both", "kind-of-work: [{action: ankle plantarflexion, kind: passive}]",
     "raise.md:4:16 missing-field: 'because' is missing: add it"),
    # References.
    ("to: hop", "to: hopp",
     "raise.md:16:10 unknown-reference: there is no exercise 'hopp': did you mean 'hop'?"),
    ("equipment: [counter]", "equipment: [cuonter]",
     "raise.md:12:13 unknown-reference: there is no piece of equipment 'cuonter': did you mean "
     "'counter'? Else add it to vocabulary/equipment.yml ('cuonter: its title') or remove it"),
    ("surface: counter", "surface: flor",
     "raise.md:10:26 unknown-reference: there is no piece of equipment 'flor': did you mean "
     "'floor'? Else add it to vocabulary/equipment.yml ('flor: its title') or remove it"),
    ("cautions: [repair]", "cautions: [zzz]",
     "raise.md:13:12 unknown-reference: there is no caution 'zzz': "
     "add it to vocabulary/cautions.yml ('zzz: its title') or remove it"),
    ("sources: [book]\nprog", "sources: [bok]\nprog",
     "raise.md:14:11 unknown-reference: there is no source 'bok': did you mean 'book'? "
     "Else add it to vocabulary/sources.yml ('bok: its title') or remove it"),
    ("[3 sets of 15], sources: [book]", "[3 sets of 15], sources: [bok]",
     "raise.md:16:47 unknown-reference: there is no source 'bok': did you mean 'book'? "
     "Else add it to vocabulary/sources.yml ('bok: its title') or remove it"),
    ("sides: both", "measured: [{works: knee extension, value: 1 Nm/kg, source: bok}]",
     "raise.md:4:60 unknown-reference: there is no source 'bok': did you mean 'book'? "
     "Else add it to vocabulary/sources.yml ('bok: its title') or remove it"),
    ("sides: both", "restrictions: [hip]",
     "raise.md:4:16 unknown-reference: there is no restriction 'hip': "
     "add it to vocabulary/restrictions.yml ('hip: its title') or remove it"),
    ("sides: both", "assist: [{at: foot, by: towl, share: 50 %}]",
     "raise.md:4:25 unknown-reference: there is no piece of equipment 'towl': did you mean "
     "'towel'? Else add it to vocabulary/equipment.yml ('towl: its title') or remove it"),
    ("area: calf", "area: clf",
     "raise.md:3:7 unknown-reference: there is no area 'clf': did you mean 'calf'? "
     "Else add it to vocabulary/areas.yml ('clf: its title') or remove it"),
    ("sides: both", "pictures: [{file: raise.jpg}]",
     "raise.md:4:19 unknown-reference: there is no picture 'raise.jpg' in pictures/: "
     "put the file there, or mend its name"),
    # Paths.
    ("sides: both", "pictures: [{file: ../../secret.jpg}]",
     "raise.md:4:19 unsafe-path: '../../secret.jpg' leads out of pictures/: "
     "put the file there and write its name"),
    ("sides: both", "pictures: [{file: /etc/passwd}]",
     "raise.md:4:19 unsafe-path: '/etc/passwd' leads out of pictures/: "
     "put the file there and write its name"),
    ("sides: both", "variation-of: ../other",
     "raise.md:4:15 unknown-reference: there is no exercise '../other' to vary: "
     "write the id of an exercise there is"),
    ("sides: both", "variation-of: {a: b}",
     "raise.md:4:15 wrong-value: 'variation-of' is keys with values, not text: "
     "a colon or brace makes keys of a text: put it in quotes"),
    ("sides: both", "variation-of: [hop]",
     "raise.md:4:15 wrong-value: 'variation-of' is ['hop'], not text: correct it"),
    # A step to itself, a step twice.
    ("to: hop", "to: raise",
     "raise.md:16:10 wrong-value: an exercise is not its own progression: "
     "name the next harder one"),
    ("  - {to: hop,", "  - {to: hop}\n  - {to: hop,",
     "raise.md:17:10 wrong-value: a progression to 'hop' is there already: "
     "make one of the two"),
    # Sections.
    ("## Do\n", "## Dos\n",
     "raise.md:18:1 unknown-field: no page knows the section 'Dos': did you mean 'Do'?"),
    ("## Do\n", "## For the pateint\n",
     "raise.md:18:1 unknown-field: no page knows the section 'For the pateint': "
     "did you mean 'For the patient'?"),
    ("Rise.\n", "Rise.\n## Do\nLower.\n",
     "raise.md:20:1 wrong-value: the section 'Do' is written twice: make one of the two"),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[1].partition("\n")[0][:40])
def test_a_fault_is_told_where_it_is(tmp_path: pathlib.Path, case: tuple[str, ...]) -> None:
    old, new, *expected = case
    assert told(sound_library(tmp_path, {"calf/raise": changed(old, new)})) == expected


def test_all_faults_of_a_file_are_told_at_once(tmp_path: pathlib.Path) -> None:
    text = changed("sides: both", "sides: boht")
    text = changed("reps: 12", "reps: twelve", text)
    text = changed("position: standing", "position: siting", text)
    text = changed("at: forefeet", "at: forefeets", text)
    text = changed("to: hop", "to: hopp", text)
    text = changed("cautions: [repair]", "cautoins: [repair]", text)
    lines = [line.split(":")[1] for line in told(sound_library(tmp_path, {"calf/raise": text}))]
    assert lines == ["4", "5", "9", "11", "13", "16"]


def test_an_exercise_with_a_fault_of_shape_is_left_out_and_cascades_nowhere(
    tmp_path: pathlib.Path,
) -> None:
    library = sound_library(tmp_path, {"calf/raise": changed("sides: both", "sides: three")})
    assert sorted(library.exercises) == ["hop"]
    assert library.withheld == {"raise"}
    assert {finding.check for finding in library.findings} == {"wrong-value"}


def test_an_exercise_with_an_edge_to_nowhere_stays(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, {"calf/raise": changed("to: hop", "to: hopp")})
    assert library.exercises["raise"].progressions[0].to == "hopp"


def test_values_are_never_quoted_with_markup_or_control_characters(tmp_path: pathlib.Path) -> None:
    text = changed("sides: both", 'sides: "<script>alert(1)</script>\\u0007\\e[31m"')
    for finding in sound_library(tmp_path, {"calf/raise": text}).findings:
        assert "<script" not in finding.message
        assert finding.message.isprintable()
