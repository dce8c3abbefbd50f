"""What a patient's sheet says, and what it refuses to say."""

from __future__ import annotations

import dataclasses
import datetime
import re
from typing import Any

import pytest

from builders.loads import exercise, load
from rungbook.checks.readability import readability, word_count
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.pain import pain_rule
from rungbook.model.exercise import Dose
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library, Settings
from rungbook.model.set_up import fill, set_up
from rungbook.site.sheet.choosing import (
    Chosen,
    SheetRefused,
    at_place,
    choose,
    refuse_half_a_language,
)
from rungbook.site.sheet.messages import UnknownLanguage, languages, messages
from rungbook.site.sheet.pain_rules import pain_words
from rungbook.site.sheet.patient_dose import dose_lines, duration_words
from rungbook.site.sheet.sheet import patient_words, sheet_part
from rungbook.site.sheet.sheet_document import is_overdue, pain_blocks, sheet_document
from rungbook.site.sheet.sheet_frame import sheet_frame
from rungbook.site.sheet.time_words import lasting

EN, DE = messages("en"), messages("de")


def _measured(*exercises: Any, ladders: Any = (), **settings: Any) -> MeasuredLibrary:
    import pathlib

    library = Library(
        pathlib.Path("clinic"),
        Settings.model_validate(settings),
        exercises={one.id: one for one in exercises},
        ladders={one.id: one for one in ladders},
    )
    return measure(library, {one.id: load(one.id) for one in exercises})


def _ladder(goal: str, **values: Any) -> Ladder:
    return Ladder.model_validate({"id": f"to-{goal}", "title": "A ladder", "goal": goal, **values})


def test_a_one_sided_exercise_needs_its_side() -> None:
    with pytest.raises(SheetRefused, match=r"arm is done on one side: say which, arm:left"):
        choose(_measured(exercise("arm")), [Chosen("arm")])


def test_both_sides_together_have_no_left() -> None:
    with pytest.raises(SheetRefused, match="both sides together: leave out ':left'"):
        choose(_measured(exercise("squat", sides="both")), [Chosen("squat", "left")])


def test_a_draft_that_nobody_reviewed_never_reaches_a_patient() -> None:
    draft = exercise("arm", draft="computed, not reviewed")
    with pytest.raises(
        SheetRefused, match=r"it is a draft \(computed, not reviewed\), never reviewed"
    ):
        choose(_measured(draft), [Chosen("arm", "left")])
    reviewed = exercise(
        "arm", draft="computed, not reviewed", reviewed={"date": "2026-05-01", "by": "Senior"}
    )
    assert choose(_measured(reviewed), [Chosen("arm", "left")])


def test_a_mistyped_exercise_is_told_its_neighbour() -> None:
    with pytest.raises(SheetRefused, match="no exercise is called 'heel-rase'; perhaps heel-raise"):
        choose(_measured(exercise("heel-raise")), [Chosen("heel-rase", "left")])


@pytest.mark.parametrize(
    ("dose", "english", "german"),
    [
        ({"sets": 3, "reps": 12}, "3 sets of 12 repetitions each.", "3 Durchgänge mit je 12 Wiederholungen."),
        ({"sets": 1, "reps": 1}, "1 set of 1 repetition.", "1 Durchgang mit 1 Wiederholung."),
        ({"reps": "8-12"}, "1 set of 8 to 12 repetitions.", "1 Durchgang mit 8 bis 12 Wiederholungen."),
        ({"sets": "2-3", "reps": 10}, "2 to 3 sets of 10 repetitions each.", "2 bis 3 Durchgänge mit je 10 Wiederholungen."),
        ({"sets": "2-3", "hold": "10-30 s"}, "Hold for 10 to 30 seconds, 2 to 3 times.", "Halten Sie 10 bis 30 Sekunden lang, 2 bis 3-mal."),
        ({"sessions": "2-3 per week"}, "2 to 3 times a week.", "2 bis 3-mal pro Woche."),
        ({"duration": "5-10 min"}, "Keep going for 5 to 10 minutes.", "Üben Sie 5 bis 10 Minuten lang ohne Unterbrechung."),
        ({"sets": 5, "hold": "45 s"}, "Hold for 45 seconds, 5 times.", "Halten Sie 45 Sekunden lang, 5-mal."),
        ({"hold": "1 s"}, "Hold for 1 second.", "Halten Sie 1 Sekunde lang."),
        ({"duration": "10 min"}, "Keep going for 10 minutes.", "Üben Sie 10 Minuten lang ohne Unterbrechung."),
        ({"sessions": "2 per day"}, "2 times a day, every day.", "2-mal am Tag, jeden Tag."),
        ({"sessions": "1 per week"}, "1 time a week.", "1-mal pro Woche."),
        ({"up": "1.5 s", "down": "3 s"}, "Speed: lift for 1.5 seconds, lower for 3 seconds.", "Tempo: heben 1,5 Sekunden, senken 3 Sekunden."),
        ({"effort": "4-6 of 10"}, "Effort: 4 to 6 out of 10.", "Anstrengung: 4 bis 6 von 10."),
    ],
)  # fmt: skip
def test_a_dose_in_plain_words(dose: dict[str, Any], english: str, german: str) -> None:
    parsed = Dose.model_validate(dose)
    assert dose_lines(parsed, EN) == (english,)
    assert dose_lines(parsed, DE) == (german,)


def test_no_dose_is_said_to_be_missing() -> None:
    assert dose_lines(None, EN) == ("Your therapist will tell you how much.",)


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(1, "1 second"), (60, "1 minute"), (75, "75 seconds"), (90, "1 minute 30 seconds"), (120, "2 minutes")],
)  # fmt: skip
def test_times(seconds: float, words: str) -> None:
    assert duration_words(seconds, EN) == words


def test_every_language_has_every_message() -> None:
    keys = {language: set(messages(language).forms) for language in languages()}
    assert {"en", "de"} <= set(keys)
    own = {key for key in keys["de"] if "." in key}
    assert own == set(keys["en"])
    with pytest.raises(UnknownLanguage, match=r"choose one of de, en"):
        messages("xx")
    assert messages("de-AT").language == "de"


def test_words_for_the_patient_in_the_sheets_language() -> None:
    one = exercise("arm", text={"For the patient": "Lift.", "For the patient (de)": "Heben."})
    assert [w.html for w in patient_words(one, "en", DE)] == ["<p>Heben.</p>"]


GERMAN = {"For the patient": "Lift.", "For the patient (de)": "Heben."}


def test_half_a_language_is_no_sheet() -> None:
    """The message names every word that is missing, of the exercise, its rule and the library."""
    own = ({"words": "it grinds"}, {"pain": "above 5"})
    arm = exercise("arm", text={"For the patient": "Lift."}, back_off=own)
    found = _measured(arm, contact="Ring us.", **{"pain-rule": {"during": 5.0, "text": "Up to 5."}})
    refuse_half_a_language(found, [arm], EN)
    with pytest.raises(SheetRefused) as refused:
        refuse_half_a_language(found, [arm], DE)
    for missing in (
        "library.yml: contact (de)", "arm: title (de)", "arm: ## For the patient (de)",
        "words (de) of the back-off “it grinds”", "pain-rule: text (de)",
    ):  # fmt: skip
        assert missing in str(refused.value)


def test_a_whole_language_is_one_sheet_in_it() -> None:
    sign = {"words": "it grinds", "words (de)": "es reibt"}
    arm = exercise(
        "arm", text=GERMAN, back_off=(sign, {"pain": "above 5"}), **{"title (de)": "Arm"}
    )
    rule = {"during": 5.0, "text": "Up to 5.", "text (de)": "Bis 5."}
    found = _measured(
        arm, contact="Ring us.", **{"contact (de)": "Rufen Sie an.", "pain-rule": rule}
    )
    html = sheet_document(found, [Chosen("arm", "left")], DE, datetime.date(2026, 5, 1))
    for words in ("Heben.", "es reibt", "Bis 5.", "Rufen Sie an."):
        assert words in html
    for words in ("Lift", "grinds", "Up to", "Ring us"):
        assert words not in html


def test_a_sign_that_only_the_clinician_can_judge_is_not_printed() -> None:
    own = ({"words": "the pelvis drops", "judged-by": "clinician"}, {"words": "it aches at night"})
    part = sheet_part(_measured(exercise("arm")), exercise("arm", back_off=own), EN, "p.html")
    assert part.do_less == ("it aches at night",)


def test_what_a_therapist_carries_is_left_off_a_sheet_for_home() -> None:
    carried = exercise("carried", assist=({"at": "wrist", "by": "therapist", "share": "50 %"},))
    found = _measured(carried, exercise("arm"))
    both = choose(found, [Chosen("carried", "left"), Chosen("arm", "left")])
    kept, off = at_place(both, "home")
    assert ([one.id for one, _ in kept], [one.id for one in off]) == (["arm"], ["carried"])
    assert at_place(both, "clinic")[1] == ()
    with pytest.raises(SheetRefused, match="carried: somebody carries a limb"):
        at_place(both[:1], "home")


def test_words_for_clinicians_are_marked_as_such() -> None:
    one = exercise("arm", text={"Set up": "Stand.", "Do": "Lift."})
    found = patient_words(one, "en", EN)
    assert [w.html for w in found] == ["<p>Stand.</p>", "<p>Lift.</p>"]
    assert "written for your therapist" in (found[0].note or "")


@pytest.mark.parametrize("condition", ["nerve", "post-operative", "bone-stress"])
def test_a_tendons_pain_rule_is_never_printed_for_a_nerve(condition: str) -> None:
    """The rule was studied for tendons; for these conditions only the therapist can say."""
    arm = exercise("arm")
    rule = {"during": 5.0, "source": "common-practice"}
    found = _measured(arm, ladders=[_ladder("arm", condition=condition)], **{"pain-rule": rule})
    assert pain_words(pain_rule(found, "arm"), "en", EN) == EN("pain.ask")
    tendon = _measured(arm, ladders=[_ladder("arm", condition="tendon")], **{"pain-rule": rule})
    assert "up to 5 out of 10" in pain_words(pain_rule(tendon, "arm"), "en", EN)


def test_the_strictest_rule_of_several_ladders_counts() -> None:
    ladders = [
        _ladder("arm"),
        _ladder("arm", id="calm", **{"pain-rule": {"during": 2.0, "source": "common-practice"}}),
    ]
    found = _measured(exercise("arm"), ladders=ladders, **{"pain-rule": {"during": 5.0}})
    rule = pain_rule(found, "arm")
    assert rule is not None and rule.during == 2.0


def test_two_rules_on_one_sheet_name_their_exercises() -> None:
    own = {"pain-rule": {"during": 2.0}}
    found = _measured(
        exercise("arm"), exercise("leg"), ladders=[_ladder("leg", **own)], **{"pain-rule": {"during": 5.0}}
    )  # fmt: skip
    parts = [sheet_part(found, e, EN, "p.html") for e in found.library.exercises.values()]
    rules = [(part.pain, part.title) for part in parts]
    assert [block.titles for block in pain_blocks(rules)] == [("Arm",), ("Leg",)]
    assert [block.titles for block in pain_blocks(rules[:1])] == [()]


def test_the_rule_for_bad_days_has_a_default() -> None:
    frame = sheet_frame(_measured(exercise("arm")), EN)
    assert [row.lasts for row in frame.flare] == [
        "up to 24 hours",
        "longer than 24 hours",
        "several days",
    ]


def test_a_bad_day_never_leads_to_the_first_of_several_exercises() -> None:
    """Where three complaints stand on one sheet, none of them is "the first exercise"."""
    rules = (
        {"lasts": "up to 24 hours", "do": "Half the sets.", "back": "same rung"},
        {"lasts": "more than 3 days", "do": "Go back to the first exercise.", "back": "entry"},
    )
    found = _measured(exercise("arm"), **{"flare-up": rules})
    for say, wanted in ((EN, "Stop the exercise"), (DE, "Lassen Sie die Übung weg")):
        rows = sheet_frame(found, say).flare
        assert wanted in rows[1].do and "first" not in rows[1].do


def test_the_exercise_for_a_bad_day_is_described_not_only_named() -> None:
    low = exercise(
        "low",
        text={"For the patient": "Sit and lift."},
        progressions=({"to": "high", "when": ("x",)},),
    )
    found = _measured(low, exercise("high"))
    easier = sheet_part(found, found.library.exercises["high"], EN, "p.html").easier
    assert easier is not None and easier.title == "Low"
    assert [words.html for words in easier.words] == ["<p>Sit and lift.</p>"]


def test_the_exercise_for_a_bad_day_is_never_heavier_than_what_is_set() -> None:
    """4 kg in its title and words become the 1 kg of this patient; its own 4 kg are not raised."""
    low = exercise(
        "low", title="Lift 4 kg", text={"For the patient": "Lift {{weight}}."},
        resistance=({"weight": "4 kg", "at": "hand"},),
        progressions=({"to": "high", "when": ("x",)},),
    )  # fmt: skip
    high = exercise("high", resistance=({"weight": "6 kg", "at": "hand"},))
    found = _measured(low, high)
    for set_to, said in ((1.0, "1 kg"), (9.0, "4 kg")):
        chosen = Chosen("high", "left", set_up=dataclasses.replace(set_up(high), weight_kg=set_to))
        html = sheet_document(found, [chosen], EN, datetime.date(2026, 5, 1))
        instead = html[html.index("Then do this instead") :][:200]
        assert f"Lift {said}.</strong>" in instead and f"<p>Lift {said}.</p>" in instead


@pytest.mark.parametrize("odd", ["{{self.__init__.__globals__}}", "{{ 7*7 }}", "{{}}", "{{hold"])
def test_nothing_in_braces_but_a_name_of_a_number_is_looked_at(odd: str) -> None:
    """No template engine runs on content: what is no name stays as it is written."""
    assert fill(f"<p>Say {odd} now.</p>", {"reps": "3"}) == f"<p>Say {odd} now.</p>"
    assert fill("<p>Stay {{hold}}. Rise {{reps}}.</p>", {"reps": "3"}) == "<p>Rise 3.</p>"


def test_a_rule_for_the_night_is_whole_in_german() -> None:
    found = _measured(
        exercise("arm"), **{"pain-rule": {"during": 3.0, "settles-within": "that night"}}
    )
    words = pain_words(pain_rule(found, "arm"), "en", DE)
    assert "that night" not in words and "Abend" in words


def test_when_to_get_help_is_never_half_in_another_language() -> None:
    measured = _measured(exercise("arm"), urgent="Call 000 for chest pain.")
    at_home, abroad = sheet_frame(measured, EN), sheet_frame(measured, DE)
    assert at_home.urgent == () and at_home.urgent_own == "Call 000 for chest pain."
    assert abroad.urgent_own is None and abroad.missing == ("urgent (de)",)


def test_the_same_signs_are_as_urgent_in_every_language() -> None:
    """Sign by sign: chest, calf, saddle, sudden loss, limb, fever; what calls us, and what 112."""
    signs = {
        "urgent.items": [("Chest", "Brust"), ("calf", "Wade"), ("legs", "Beinen"), ("Sudden", "Plötzlich"),
                         ("limb", "Arm oder Bein"), ("Fever", "Fieber")],
        "stop.items": [("sharp", "stechend"), ("swells", "schwillt"), ("Numbness", "Taubheit"), ("sure", "sicher")],
    }  # fmt: skip
    for key, pairs in signs.items():
        for (english, german), said, gesagt in zip(
            pairs, EN.items(key), DE.items(key), strict=True
        ):
            assert english in said and german in gesagt


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("up to 24 hours", "bis zu 24 Stunden"),
        ("more than 24 hours and up to 3 days", "länger als 24 Stunden, bis zu 3 Tagen"),
        ("longer than 3 days", "länger als 3 Tage"),
        ("until the full moon", "until the full moon"),
    ],
)
def test_lasting_in_german(english: str, german: str) -> None:
    assert lasting(english, DE) == german


def test_a_review_is_overdue_the_day_after_it_ends() -> None:
    one = exercise("arm", reviewed={"date": "2024-05-01", "by": "Senior physiotherapist"})
    assert not is_overdue(one, "24 months", datetime.date(2026, 5, 1))
    assert is_overdue(one, "24 months", datetime.date(2026, 5, 2))
    assert is_overdue(exercise("leg"), "24 months", datetime.date(2026, 5, 2))


def test_the_document_escapes_what_the_library_wrote() -> None:
    bad = exercise("arm", title="<script>alert(1)</script>", back_off=("<b>pain</b>",))
    html = sheet_document(
        _measured(bad, contact="<i>us</i>"), [Chosen("arm", "left")], EN, datetime.date(2026, 5, 1)
    )
    assert "<script>" not in html and "<b>pain" not in html and "<i>us" not in html
    assert "&lt;script&gt;" in html


def test_the_fixed_words_are_easy_to_read() -> None:
    """Grade 8 is what a leaflet may have (common practice); no sentence for patients is above it."""
    apart = ("rx.", "language.", "number.", "criterion.", "bound.", "time.", "diary.days")
    read = 0
    for key, forms in EN.forms.items():
        for words in forms[-1].split("|") if "." in key and not key.startswith(apart) else ():
            plain = re.sub(r"\{\w+\}", "3", words)
            if word_count(plain) >= 8:
                read += 1
                assert readability(plain).grade <= 8, (key, plain)
    assert read > 20
