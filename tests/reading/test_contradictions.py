"""Values that are right one by one and make no sense together are told, and where."""

import pathlib

import pytest

from builders.reading import changed, sound_library, told

CASES = [
    ("reps: 12,", "reps: 12, duration: 60 s,",
     "raise.md:11:27 wrong-value: 'duration' is for continuous work and excludes 'reps': "
     "remove one of the two"),
    ("reps: 12,", "hold: 30 s, duration: 60 s,",
     "raise.md:11:29 wrong-value: 'duration' is for continuous work and excludes 'hold': "
     "remove one of the two"),
    ("sides: both", "ballistic: true\nimpact: one foot",
     "raise.md:4:12 missing-field: 'measured' is missing: "
     "statics does not apply to hops and throws: give a published figure with its source"),
    ("sides: both",
     "ballistic: true\nmeasured: [{works: knee extension, value: 3 Nm/kg, source: book}]",
     "raise.md:4:12 missing-field: 'impact' is missing: write none, both feet or one foot"),
    ("sides: both", "passive: true\nresistance: [{weight: 2 kg, at: hand}]",
     "raise.md:5:1 wrong-value: a passive exercise has no resistance: "
     "remove 'resistance', or 'passive'"),
    ("sides: both", "assist: [{at: foot, by: towel}]",
     "raise.md:4:10 missing-field: 'share' is missing: "
     "say how much is carried, by share, weight or force"),
    ("sides: both", "assist: [{at: foot, share: 50 %, force: 20 N, pulls: up}]",
     "raise.md:4:34 wrong-value: 'share' says how much already: remove one of the two"),
    ("sides: both", "assist: [{at: foot, force: 20 N}]",
     "raise.md:4:10 missing-field: 'pulls' is missing: "
     "say which way the force pulls, such as 'pulls: up'"),
    ("sides: both", "resistance: [{at: hand}]",
     "raise.md:4:14 missing-field: 'weight' is missing: "
     "say what resists: a weight, band, push, machine, cable or effort"),
    ("sides: both", "resistance: [{weight: 2 kg}]",
     "raise.md:4:14 missing-field: 'at' is missing: "
     "name the point of the body that the weight acts on"),
    ("sides: both", "resistance: [{band: {start: 0 N, end: 0 N}, at: hand, pulls: inward}]",
     "raise.md:4:15 wrong-value: a band without tension resists nothing: "
     "write what was measured"),
    ("sides: both", "resistance: [{push: 40 N, at: hand, pulls: sidewards}]",
     "raise.md:4:44 wrong-value: 'sidewards' is no direction; it is one of up, down, forward, "
     "backward, inward, outward, toward: <body point>: write one of these"),
    ("sides: both", "resistance: [{push: 40 N, at: hand, pulls: {toward: hipp}}]",
     "raise.md:4:44 wrong-value: 'hipp' is not a point of the body: did you mean 'hip'?"),
    ("sides: both", "resistance: [{push: 40 N, at: hand, pulls: up, toward: hip}]",
     "raise.md:4:48 unknown-field: unknown key 'toward': "
     "'pulls' says the direction already: remove one of the two"),
    ("{at: forefeet, surface: floor}", "{at: forefeet, surface: floor, height: 0.2 m}",
     "raise.md:9:36 wrong-value: the floor has no height: "
     "name what the contact stands on, or remove 'height'"),
    ("{at: forefeet, surface: floor}", "{at: forefeet, surface: floor, friction: 0.3}",
     "raise.md:9:36 wrong-value: 'friction' is for what is dragged: "
     "add 'slides: true', or remove it"),
    ("{at: forefeet, surface: floor}", "{at: forefeet, surface: floor, distance: 0.3 m}",
     "raise.md:9:36 wrong-value: 'distance' is that from the wall: write 'surface: wall'"),
    ("{at: forefeet, surface: floor}", "{at: forefeet, surface: floor, share: 97 %}",
     "raise.md:8:1 wrong-value: the shares add up to 102% of body weight: "
     "together at most 100 %"),
    ("sides: both", "incline: 120",
     "raise.md:4:10 wrong-value: 'incline' is 120, not at most 90: correct it"),
    ("sides: both", "posture: {other-hip: {flexion: 30}}",
     "raise.md:4:11 wrong-value: 'other-hip' needs a working side: "
     "write 'sides: one', or a plain name"),
    ("sides: both", "stands-on: other",
     "raise.md:4:1 wrong-value: 'stands-on: other' needs a working side: write 'sides: one'"),
    ("sides: both", "posture: {knee: {flexion: 3, extension: 0}}",
     "raise.md:4:30 wrong-value: flexion and extension of the knee are one axis: "
     "write one, with a negative number for the other"),
    ("sides: both", "posture: {ankle: {dorsiflexion: 10}}",
     "raise.md:7:21 wrong-value: the movement starts at 0 and the posture says dorsiflexion 10: "
     "make them agree, or remove the angle from 'posture'"),
    ("{at: forefeet, surface: floor}", "{at: forefeet, surface: floor, thickness: 0.1 m}",
     "raise.md:9:36 wrong-value: 'thickness' is of what lies between two limbs: "
     "name the other as 'surface'"),
    ("{at: hands, surface: counter, share: 5 %}", "{at: forefeet, surface: wall}",
     "raise.md:10:10 wrong-value: 'forefeet' is on something already: "
     "make one contact of the two, or give both a 'during'"),
    ("{at: forefeet, surface: floor}", "{at: forearms, surface: knees, height: 0.5 m}",
     "raise.md:9:36 wrong-value: a limb that is rested on has no 'height': "
     "remove it, or 'surface'"),
    ("{at: forefeet, surface: floor}", "{at: pelvis, surface: head}",
     "raise.md:9:18 wrong-value: 'pelvis' cannot rest on its own limb, the 'head': "
     "name another one"),
    ("{at: forefeet, surface: floor}", "{at: knee, surface: other-knee}",
     "raise.md:9:16 wrong-value: 'other-knee' needs a working side: "
     "write 'sides: one', or a plain name"),
    ("sides: both", "follows: [ankle dorsiflexion]",
     "raise.md:4:11 wrong-value: 'ankle dorsiflexion' follows the contacts and its angle is "
     "written: make it one"),
    ("sides: both", "follows: [hip twist]",
     "raise.md:4:11 wrong-value: 'follows' is 'hip twist', not an action such as "
     "'ankle plantarflexion': correct it"),
    ("sides: both", "arms: folded",
     "raise.md:4:7 wrong-value: 'arms' is 'folded', not one of crossed, on-thighs, by-the-side, "
     "held-out: write one of these"),
    ("[{ankle: {plantarflexion: [0, 30]}}]", "[{ankle: {}}]",
     "raise.md:7:12 wrong-value: nothing moves here: write {joint: {movement: [from, to]}}"),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[1][:50])
def test_a_contradiction_is_told(tmp_path: pathlib.Path, case: tuple[str, ...]) -> None:
    old, new, *expected = case
    assert told(sound_library(tmp_path, {"calf/raise": changed(old, new)})) == expected


@pytest.mark.parametrize(
    "line",
    [
        "assist: [{at: foot, by: towel, share: 50 %}]",
        "assist: [{at: foot, by: therapist, force: 20 N, pulls: up}]",
        "resistance: [{band: {start: 0 N, end: 25 N}, at: ankle, pulls: inward}]",
        "resistance: [{push: 40 N, at: hands, toward: seat}]",
        "resistance: [{effort: 30 %}]",
        "posture: {ankle: {dorsiflexion: 0}}",
        "posture: {trunk: {forward-lean: 20}, pelvis: {drop: 0}}",
        "resistance: [{weight: 5 lb, at: pelvis}]",
        "follows: [hip external-rotation, knee flexion]",
        "arms: crossed",
    ],
)
def test_what_makes_sense_together_is_not_told(tmp_path: pathlib.Path, line: str) -> None:
    assert told(sound_library(tmp_path, {"calf/raise": changed("sides: both", line)})) == []


@pytest.mark.parametrize(
    "contact",
    [
        "{at: knees, surface: knees, thickness: 0.2 m}",
        "{at: forearms, surface: thighs, touch: true}",
        "{at: hand, surface: pelvis}",
    ],
)
def test_a_limb_may_rest_on_another(tmp_path: pathlib.Path, contact: str) -> None:
    text = changed("{at: forefeet, surface: floor}", contact)
    assert told(sound_library(tmp_path, {"calf/raise": text})) == []


def test_a_foot_may_rest_on_the_other_foot_alone(tmp_path: pathlib.Path) -> None:
    def resting(at: str, surface: str) -> list[str]:
        contact = f"{{at: {at}, surface: {surface}}}"
        text = changed("sides: both", "sides: one").replace(
            "{at: forefeet, surface: floor}", contact
        )
        return told(sound_library(tmp_path, {"calf/raise": text}))

    assert resting("foot", "other-foot") == []
    assert resting("foot", "knee") == [
        "raise.md:9:16 wrong-value: 'foot' cannot rest on its own limb, the 'knee': "
        "name another one"
    ]


def test_equipment_is_not_called_as_the_body_is(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, vocabulary={"equipment": "counter: Counter\nhand: Hook\n"})
    assert told(library) == [
        "vocabulary/equipment.yml:2:1 wrong-value: 'hand' is a word of the format: give the piece another key"
    ]


def test_a_pull_is_one_text_however_it_is_written(tmp_path: pathlib.Path) -> None:
    line = (
        "resistance: [{push: 1 N, at: hand, pulls: {toward: hip}}, "
        "{push: 1 N, at: hand, toward: hip}, {push: 1 N, at: hand, pulls: up}]"
    )
    library = sound_library(tmp_path, {"calf/raise": changed("sides: both", line)})
    pulls = [load.pulls for load in library.exercises["raise"].resistance]
    assert pulls == ["toward hip", "toward hip", "up"]


def test_a_contradiction_with_what_is_inherited_lies_where_it_was_restated(
    tmp_path: pathlib.Path,
) -> None:
    loaded = changed("sides: both", "resistance: [{weight: 2 kg, at: hand}]")
    variation = "---\ntitle: Passive raise\nvariation-of: raise\npassive: true\n---\n"
    library = sound_library(tmp_path, {"calf/raise": loaded, "calf/stretch": variation})
    assert told(library) == [
        "stretch.md:4:1 wrong-value: a passive exercise has no resistance: "
        "remove 'resistance', or 'passive'"
    ]
