"""Words of a table in other languages, its own abbreviations, and its encoding."""

from __future__ import annotations

import pathlib

import pytest
from click.testing import CliRunner

from builders.tables import csv_bytes, small_library
from rungbook.cli import main
from rungbook.intake.dose_text import read_dose
from rungbook.intake.read_csv import read_csv
from rungbook.intake.table import CannotRead
from rungbook.intake.value_map import read_values
from rungbook.intake.words import Words
from rungbook.model.library import Library
from rungbook.reading.read import read_library

ROWS = (
    ["Name", "Position", "Widerstand", "Material", "Ausführung"],
    ["Knie strecken", "Pezzisitz", "rotes Band", "Hocker", "Re. Bein strecken, Pat. sitzt."],
    ["Ferse heben", "Stand", "", "chair; Hocker", "Ferse heben. Patient steht."],
)


def run(root: pathlib.Path, *arguments: str) -> str:
    table = root / "unsere.csv"
    table.write_bytes(csv_bytes(*ROWS))
    answer = CliRunner().invoke(
        main, ["intake", str(table), "--library", str(root / "library"), *arguments]
    )
    assert answer.exit_code == 0, answer.output
    return answer.output


def test_words_nobody_knows_wait_in_the_mapping_and_are_obeyed_once_told(
    tmp_path: pathlib.Path,
) -> None:
    small_library(tmp_path)
    run(tmp_path)
    mapping = next((tmp_path / "library-intake").glob("*.yml"))
    text = mapping.read_text()
    assert "Pezzisitz: null" in text and "rotes Band: null" in text and "chair; Hocker" in text
    text = text[: text.index("# Not understood")] + (
        "values:\n"
        "  position: {PEZZISITZ: sitting}\n"
        "  resistance: {rotes Band: {band: {start: 15 N, end: 25 N}, at: ankle, pulls: backward}}\n"
        "  equipment: {Hocker: chair}\n"
        "abbreviations: {Re.: Rechtes, Pat.: Patient}\n"
    )
    mapping.write_text(text)
    run(tmp_path)
    knee, heel = (read_library(tmp_path / "library").exercises[id]
                  for id in ("knie-strecken", "ferse-heben"))  # fmt: skip
    assert (knee.position, knee.equipment) == ("sitting", ("chair",))
    band = knee.resistance[0].band
    assert band is not None and (band.start, band.end) == (15.0, 25.0)
    assert knee.text["Do"] == "Rechtes Bein strecken, Patient sitzt."
    assert heel.position == "standing" and heel.equipment == ("chair", "chair")
    assert heel.text["Do"] == "Ferse heben. Patient steht."


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ({"values": ["Sitz"]}, "'values' is a list of words with their meaning"),
        ({"values": {"positon": {}}}, "'values' has no field 'positon': did you mean 'position'?"),
        ({"values": {"position": "sitting"}}, "'position' is a list of words"),
        ({"abbreviations": {"Pat.": 3}}, "'abbreviations' has no words for 'Pat.'"),
    ],
)
def test_a_map_that_says_nothing_is_refused(values: dict[str, object], told: str) -> None:
    with pytest.raises(CannotRead, match=told.replace("?", r"\?")):
        read_values(values, "map.yml")


# German and French anatomical terms: common practice, no source.
@pytest.mark.parametrize(
    ("words", "meant"),
    [
        ("Kniestreckung", "knee extension"),
        ("Hüftabduktion", "hip abduction"),
        ("Außenrotation der Schulter", "shoulder external-rotation"),
        ("Plantarflexion im Sprunggelenk", "ankle plantarflexion"),
        ("extension du genou", "knee extension"),
        ("rotation externe de l'épaule", "shoulder external-rotation"),
        ("flexion plantaire de la cheville", "ankle plantarflexion"),
        ("Kniestreckung oder Beugung", None),
        ("Streckung", None),
    ],
)
def test_actions_in_german_and_french(words: str, meant: str | None) -> None:
    found = Words.action(words)
    assert (str(found) if found else None) == meant


@pytest.mark.parametrize(
    ("words", "position", "sides"),
    [("Im Sitzen", "sitting", "Beidseits"), ("Rückenlage", "supine", "les deux"),
     ("Décubitus latéral", "side-lying", "beidseitig"), ("à quatre pattes", "quadruped", "bds.")],
)  # fmt: skip
def test_positions_and_sides_in_german_and_french(words: str, position: str, sides: str) -> None:
    assert Words(Library(pathlib.Path())).position(words) == position
    assert Words.sides(sides) == "both"


@pytest.mark.parametrize(
    "words",
    ["3 séries de 10 répétitions, 2 fois par jour", "3 Sätze mit 10 Wiederholungen, 2 mal pro Tag"],
)
def test_doses_in_french_and_german(words: str) -> None:
    read = read_dose(words)
    assert read.fields == {"sets": 3, "reps": 10, "sessions": "2 per day"} and read.rest == ()


@pytest.mark.parametrize("encoding", ["cp1252", "mac_roman", "cp850", "cp437"])
@pytest.mark.parametrize(
    "text",
    ["Name;Übung\nRückenlage;Füße hüftbreit, größere Schritte\n",
     "Name;Position\nMädchen;Stand\nKräftigung;täglich\n",
     "Nom;Séries\nÉlévation des talons;répétée à côté, où ça tire\n",
     "Name;Dosis\nStrecken;3 x 10 – täglich\n"],
)  # fmt: skip
def test_an_encoding_is_told_by_the_letters_that_differ(text: str, encoding: str) -> None:
    if "–" in text and encoding in ("cp850", "cp437"):
        pytest.skip("the encoding has no dash")
    if "É" in text and encoding == "cp437":
        text = text.replace("À", "A")
    sheet = read_csv(text.encode(encoding), "table.csv")
    assert [list(row.cells) for row in sheet.rows] == [
        line.split(";") for line in text.splitlines()
    ]
