"""A sound library, broken in many seeded ways: each break is found by the check meant for it."""

from __future__ import annotations

import datetime
import pathlib
import random
import re
from collections import Counter
from collections.abc import Callable, Iterator
from typing import NamedTuple

import pytest

from builders.findings import TODAY, unloaded
from builders.sound import EDGES, GOAL, RUNGS, sound_files
from rungbook.checks.explanation import files_of
from rungbook.checks.registry import all_checks, examine
from rungbook.pipeline.analyse import analyse

Files = dict[str, str | bytes]


class Break(NamedTuple):
    """A way to break the library: what is done, the check that has to find it, the new files.

    `loaded` breaks need the loads to be computed.
    """

    name: str
    check: str
    files: Files
    loaded: bool = False


def path(id: str) -> str:
    return f"exercises/arm/{id}.md"


def edited(file: str, was: str, now: str) -> Files:
    text = sound_files()[file]
    assert was in text, (file, was)
    return {file: text.replace(was, now, 1)}


def in_exercise(
    name: str, check: str, was: str, now: str, ids: list[str] | None = None, loaded: bool = False
) -> Iterator[Break]:
    """The same edit in several exercises; `{id}` and `{to}` stand for its id and a harder one."""
    for id in ids or list(RUNGS):
        to = next(iter(RUNGS[id][2]), "")
        told = (was.replace("{to}", to), now.replace("{id}", id).replace("{to}", to))
        yield Break(f"{name} in {id}", check, edited(path(id), *told), loaded)


def _manual_example(check: str) -> Files:
    """The files that a check's manual page shows failing, beside the sound library."""
    found = files_of(all_checks()[check].explanation.fails)
    return {
        file: text for file, text in found.items() if file.startswith(("exercises/", "library.yml"))
    }


UPWARD = [id for id in RUNGS if RUNGS[id][2]]
MIDDLE = [id for id in RUNGS if id not in ("arm-low", GOAL)]
HARD_WORDS = (
    "Subsequently initiate progressive anterior elevation, maintaining appropriate neuromuscular "
    "coordination throughout, immediately discontinuing the exercise if considerable discomfort "
    "develops, alternatively consulting your physiotherapist regarding further possibilities."
)


def of_reading(dice: random.Random) -> Iterator[Break]:
    keys = [
        "sides", "position", "works", "movement", "dose", "cautions", "sources", "reviewed",
        "back-off",
    ]  # fmt: skip
    for id in RUNGS:
        for key in dice.sample(keys, 5):
            at = dice.randrange(len(key))
            misspelt = key[:at] + dice.choice("xqz") + key[at + 1 :]
            files = edited(path(id), f"\n{key}:", f"\n{misspelt}:")
            yield Break(f"misspell {key} in {id}", "unknown-field", files)
    yield from in_exercise("a position that is none", "wrong-value", "standing", "floating")
    yield from in_exercise("an action that is none", "wrong-value", "works: shoulder", "works: ear")
    yield from in_exercise("a time without a unit", "wrong-unit", "rest: 60 s", "rest: 60")
    yield from in_exercise("a time in kilograms", "wrong-unit", "up: 3 s", "up: 3 kg")
    yield from in_exercise("no title", "missing-field", "title:", "# title:")
    yield from in_exercise("an unknown caution", "unknown-reference", "sore-arm", "sour-arm")
    yield from in_exercise("an unknown source", "unknown-reference", "[practice]", "[theory]")
    yield from in_exercise("an edge to nowhere", "unknown-reference", "to: {to}", "to: x", UPWARD)
    yield from in_exercise("an unclosed list", "unreadable-file", "[sore-arm]", "[sore-arm")
    yield from in_exercise(
        "a variation of itself", "variation-loop", "sides:", "variation-of: {id}\nsides:"
    )
    yield from in_exercise("a script", "unsafe-markup", "over 3 s", "<script>alert(1)</script>")
    outside = "pictures: [{file: ../../passwd.jpg, alt: The start}]\nsides:"
    yield from in_exercise("a picture from outside", "unsafe-path", "sides:", outside)
    for id in RUNGS:
        text = sound_files()[path(id)]
        yield Break(f"two of {id}", "duplicate-id", {f"exercises/other/{id}.md": text})
        yield Break(f"not UTF-8: {id}", "unreadable-file", {path(id): text.encode() + b"\xff\xfe"})
    for vocabulary in ("cautions", "equipment", "restrictions", "sources"):
        files: Files = {f"vocabulary/{vocabulary}.yml": "other: {title: Other}\n"}
        yield Break(f"no {vocabulary}", "unknown-reference", files)
    ladder = "ladders/arm.md"
    yield Break("no goal", "missing-field", edited(ladder, f"goal: {GOAL}\n", ""))
    yield Break("a goal nowhere", "unknown-reference", edited(ladder, f"goal: {GOAL}", "goal: x"))
    yield Break("an entry nowhere", "unknown-reference", edited(ladder, "high: arm-low", "high: x"))


def without_edge(id: str, to: str) -> Files:
    text = sound_files()[path(id)].replace(f"  - to: {to}\n    when: [3 sets of 12]\n", "")
    return {path(id): text.replace("progressions:\n---", "---")}


def with_edge(id: str, to: str, files: Files | None = None) -> Files:
    text = str((files or {}).get(path(id), sound_files()[path(id)]))
    added = f"progressions:\n  - to: {to}\n    when: [3 sets of 12]\n"
    text = text.replace("progressions:\n", "", 1) if "progressions:\n" in text else text
    head, body = text.split("\n---\n", 1)
    at = head.index("back-off")
    line = head.index("\n", at) + 1 if "\n" in head[at:] else len(head)
    rest = head[line:].lstrip("\n")
    return {**(files or {}), path(id): f"{head[:line]}\n{added}{rest}\n---\n{body}"}


def reached(id: str) -> list[str]:
    found: list[str] = []
    for to in RUNGS[id][2]:
        found += [one for one in (to, *reached(to)) if one not in found]
    return found


def of_ladders(dice: random.Random) -> Iterator[Break]:
    only_way = {"arm-low": "no-way-back", "arm-middle-weight": "no-way-on", "arm-high": "no-way-on"}
    for id, to in EDGES:
        if id in only_way:
            yield Break(f"no edge {id} to {to}", only_way[id], without_edge(id, to))
            turned = with_edge(to, id, without_edge(id, to))
            yield Break(f"turn {id} to {to}", only_way[id], turned)
    for id in UPWARD:
        text = re.sub(r"progressions:\n(  .*\n)+", "", sound_files()[path(id)])
        check = "unreachable-goal" if id == "arm-low" else "no-way-on"
        yield Break(f"no way on from {id}", check, {path(id): text})
    for id in RUNGS:
        for to in reached(id):
            yield Break(f"back from {to} to {id}", "circular-progression", with_edge(to, id))
            if to not in RUNGS[id][2]:
                yield Break(f"shortcut {id} to {to}", "redundant-shortcut", with_edge(id, to))
    for number in range(5):
        text = sound_files()[path(GOAL)]
        stray: Files = {f"exercises/arm/stray-{number}.md": text}
        yield Break(f"stray {number}", "stranded-exercise", stray)
    for out in ("arm-low-weight", "arm-middle"):
        files = without_edge("arm-low", out)
        other: Files = {
            path(out): re.sub(r"progressions:\n(  .*\n)+", "", sound_files()[path(out)])
        }
        yield Break(f"one way only, without {out}", "single-way", {**files, **other})


def of_care(dice: random.Random) -> Iterator[Break]:
    yield from in_exercise(
        "no criteria", "missing-criteria", "    when: [3 sets of 12]\n", "", UPWARD
    )
    yield from in_exercise(
        "a draft", "draft-progression", "    when: [3 sets of 12]\n", "    draft: true\n", UPWARD
    )
    yield from in_exercise(
        "no back-off", "missing-criteria", "back-off: [pain above 5 of 10]\n", ""
    )
    for part in ("sets: 3, ", "reps: 10, ", " sessions: 3 per week"):
        yield from in_exercise(f"no {part.strip()}", "missing-dose", part, "")
    yield from in_exercise("no source", "missing-source", "sources: [practice]\n", "")
    yield from in_exercise(
        "an old review", "review-overdue", "2026-05-01", f"20{dice.randrange(10, 24)}-05-01"
    )
    for id in RUNGS:
        text = sound_files()[path(id)]
        never = re.sub("reviewed: .*\n", "", text)
        yield Break(f"no review of {id}", "review-overdue", {path(id): never})
        bare = re.sub(", seal: .*\\}", "}", text)
        yield Break(f"no seal in {id}", "unsealed-review", {path(id): bare})
        farther = text.replace("pain above 5", "pain above 8")
        yield Break(f"more pain in {id}", "changed-since-review", {path(id): farther})
    for id in ("arm-middle", "arm-high"):
        as_low = re.sub(r"---\n## Set up[\s\S]*", "---\n", sound_files()[path(id)])
        as_low = as_low.replace("sides: one", "variation-of: arm-low\nsides: one")
        yield Break(f"words of another in {id}", "words-inherited", {path(id): as_low})
    yield from in_exercise("no set-up", "incomplete-report", "## Set up", "## Notes")
    yield from in_exercise("no rest", "incomplete-report", "rest: 60 s,", "")
    yield from in_exercise(
        "hard words", "reading-grade", "Stand tall with your arm by your side.", HARD_WORDS
    )
    soon = TODAY + datetime.timedelta(days=10)
    unsourced = f"accepts: [{{check: missing-source, because: our habit, until: {soon}}}]"
    yield from in_exercise("soon lapsed", "acceptance-lapsing", "sources: [practice]", unsourced)
    yield from in_exercise("a number said twice", "number-in-words", "{{pause}}", "one second")
    yield from in_exercise("no such number", "number-in-words", "{{pause}}", "{{height}}")
    yield from in_exercise("an unknown number", "number-in-words", "{{pause}}", "{{while}}")
    half = "## For the patient (de)\nHeben Sie den Arm.\n\n## For the patient"
    yield from in_exercise("half a language", "language-incomplete", "## For the patient", half)
    mute = "pictures: [{file: a.jpg}]\nsides:"
    for one in in_exercise("a mute picture", "missing-alt-text", "sides:", mute):
        yield one._replace(files={**one.files, "pictures/a.jpg": b"\xff\xd8"})
    odd = "pictures: [{file: a.jpg, alt: The arm is up}]\nsides:"
    for one in in_exercise("a picture that is none", "unusable-picture", "sides:", odd):
        yield one._replace(files={**one.files, "pictures/a.jpg": b"\xff\xd8"})
    forgotten = [id for id in RUNGS if id != "arm-low"]
    yield from in_exercise(
        "a forgotten caution", "caution-lost", "cautions: [sore-arm]\n", "", forgotten
    )
    for condition in ("nerve", "post-operative", "bone-stress"):
        files = edited("ladders/arm.md", "condition: joint", f"condition: {condition}")
        yield Break(f"for {condition}", "pain-rule-inherited", files)
    unsourced = edited("library.yml", ", source: practice", "")
    yield Break("a pain rule out of the air", "missing-source", unsourced)
    idle = "accepts: [{check: no-way-on, because: it was so, until: 2026-12-31}]\nsides:"
    yield from in_exercise("an idle acceptance", "unknown-reference", "sides:", idle)
    lapsed = (
        "accepts: [{check: missing-source, because: it was so, until: 2026-01-01}]\n"
        "reviewed: {date: 2026-05-01"
    )
    for one in in_exercise(
        "a lapsed acceptance",
        "missing-source",
        "sources: [practice]\nreviewed: {date: 2026-05-01",
        lapsed,
    ):
        yield one
    switched: Files = {
        "library.yml": str(sound_files()["library.yml"]) + "checks: {no-such: off}\n"
    }
    yield Break("a check that is none", "unknown-reference", switched)


def of_loads(dice: random.Random) -> Iterator[Break]:
    for id in ("arm-low-weight", "arm-middle-weight", GOAL):
        for weight in (2, 3.5, 5):
            yield from in_exercise(
                f"{weight} kg", "step-too-large", f"{RUNGS[id][1]} kg", f"{weight} kg", [id], True
            )
        yield from in_exercise(
            "pounds for kilograms", "step-too-large", f"{RUNGS[id][1]} kg", "6 lb", [id], True
        )
    yield from in_exercise(
        "nine sets", "step-too-large", "sets: 3", "sets: 9", [*MIDDLE, GOAL], True
    )
    yield from in_exercise(
        "held for a minute", "step-too-large", "pause: 1 s", "pause: 60 s", [*MIDDLE, GOAL], True
    )
    held = "resistance: [{weight: 2 kg, at: hand}]\nequipment: [dumbbell]\ndose:"
    for id in ("arm-low", "arm-middle", "arm-high"):
        yield from in_exercise("a weight too early", "backward-step", "dose:", held, [id], True)
    for end in (100, 125):
        for id in RUNGS:
            yield from in_exercise(
                f"up to {end}",
                "restriction-broken",
                f"[0, {RUNGS[id][0]}]",
                f"[0, {end}]",
                [id],
                True,
            )
    yield from in_exercise(
        "the wrong muscles",
        "works-unloaded",
        "works: shoulder flexion",
        "works: shoulder extension",
        None,
        True,
    )
    yield from in_exercise("thrown up", "statics-doubtful", "up: 3 s", "up: 0.2 s", None, True)
    turned = "posture: {neck: {rotation: 110}}\nsides:"
    yield from in_exercise(
        "a neck turned too far", "beyond-usual-range", "sides:", turned, None, True
    )
    far = (
        "contacts: [{at: feet, surface: floor},"
        " {at: other-hand, surface: wall, distance: 3 m}]\nsides:"
    )
    yield from in_exercise("a wall too far away", "contact-off-surface", "sides:", far, None, True)
    leaning = (
        "posture: {trunk: {forward-lean: -45}, lumbar: {flexion: 0}, knee: {flexion: 0},"
        " ankle: {dorsiflexion: 0}, other-knee: {flexion: 0}, other-ankle: {dorsiflexion: 0}}"
        "\ncontacts: [{at: feet, surface: floor}]\nsides:"
    )
    yield from in_exercise("leaning too far", "not-in-balance", "sides:", leaning, None, True)
    heavier = "resistance: [{weight: 25 kg, at: other-hand}, "
    with_weight = [id for id in RUNGS if RUNGS[id][1]]
    yield from in_exercise(
        "a bag in the other hand", "load-elsewhere", "resistance: [", heavier, with_weight, True
    )
    for check in ("beyond-strength", "height-contradicts", "contradicting-rules", "weight-added"):
        yield Break(f"the manual's example of {check}", check, _manual_example(check), True)
    measured = "measured: [{works: shoulder flexion, value: %s Nm, source: practice}]\nsides:"
    for easier, harder in (("arm-low", GOAL), ("arm-low", "arm-middle-weight")):
        files = {
            **edited(path(easier), "sides:", measured % 30),
            **edited(path(harder), "sides:", measured % 10),
        }
        yield Break(f"{easier} measured above {harder}", "order-disputed", files, True)
    for high, low in (
        ("arm-high", "arm-low"),
        ("arm-middle-weight", "arm-middle"),
        ("arm-high", "arm-middle"),
    ):
        entries = edited("ladders/arm.md", "{high: arm-low}", f"{{high: {high}, low: {low}}}")
        yield Break(f"enter {high} before {low}", "heavy-entry", entries, True)
    much = "sessions: 4 per week"
    for id in (GOAL, "arm-middle-weight"):
        text = str(edited(path(id), "sessions: 3 per week", much)[path(id)])
        files = {path(id): text.replace("position: standing", "position: half-kneeling")}
        yield Break(f"more and kneeling in {id}", "several-changes-at-once", files, True)
    for id in ("arm-low", "arm-middle"):
        standard = edited("ladders/arm.md", "goal-met:", f"standard: {id}\ngoal-met:")
        moved = edited(path(id), "sides:", "passive: true\nsides:")
        files = {**standard, **moved}
        yield Break(f"{id} carried and the standard", "standard-without-load", files, True)
    for kind in sorted(file for file in sound_files() if file.startswith("vocabulary/")):
        words = f"{sound_files()[kind]}nobody: Nobody names it\n"
        yield Break(f"a word too many in {kind}", "unused-vocabulary", {kind: words})
    nowhere = sound_files()["library.yml"] + "extends: ../nowhere\n"
    yield Break("a base that is nowhere", "unusable-base", {"library.yml": nowhere}, True)
    tight = sound_files()["library.yml"] + "limits: {demand: 1.02}\n"
    yield Break("a tight limit", "step-too-large", {"library.yml": tight}, True)


FAMILIES: tuple[Callable[[random.Random], Iterator[Break]], ...] = (
    of_reading,
    of_ladders,
    of_care,
    of_loads,
)
BREAKS = [one for family in FAMILIES for one in family(random.Random(7))]


def write(folder: pathlib.Path, files: Files) -> pathlib.Path:
    for file, content in {**sound_files(), **files}.items():
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        (folder / file).write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def test_nothing_is_found_in_the_sound_library(tmp_path: pathlib.Path) -> None:
    assert analyse(write(tmp_path, {}), TODAY).findings == ()


@pytest.mark.parametrize("broken", BREAKS, ids=lambda broken: broken.name.replace(" ", "-"))
def test_every_break_is_found(tmp_path: pathlib.Path, broken: Break) -> None:
    folder = write(tmp_path, broken.files)
    if broken.loaded:
        findings = analyse(folder, TODAY).findings
    else:
        findings = examine(unloaded(folder), TODAY).findings
    assert broken.check in {finding.check for finding in findings}


def test_there_are_many_breaks_for_nearly_every_check() -> None:
    counts = Counter(one.check for one in BREAKS)
    assert len(BREAKS) >= 200
    assert len({one.name for one in BREAKS}) == len(BREAKS)
    assert set(all_checks()) == set(counts)
