"""Tables of exercises, as CSV and as workbooks: taken into a sound library, which is checked."""

from __future__ import annotations

import io
import pathlib
import random
import zipfile

from builders.library import library_folder
from builders.sound import sound_files
from builders.tables import csv_bytes, workbook

from . import damage
from .judging import command

HEADINGS = (
    "Title", "Area", "Position", "Works", "Sets", "Reps", "Dose", "Equipment", "Cautions", "Next",
    "Instructions", "Source", "reviewed.by", "reviewed.date", "computed.fingerprint", "Notes", "id",
)  # fmt: skip
CELLS = (
    "Squat", "Knee and thigh", "standing", "knee extension", "3", "8-12", "3 x 10, 3 per week", "chair",
    "", "Hop", "Stand tall.\nSit down.", "A study", "Dr Trusted", "2026-05-01", "3-10", "1:30", "50 %",
)  # fmt: skip


def _rows(dice: random.Random) -> list[list[str]]:
    headings = dice.sample(HEADINGS, dice.randint(1, len(HEADINGS)))
    rows = [headings]
    for _ in range(dice.choice((0, 1, 3, 12))):
        odd = [*damage.HOSTILE, *CELLS, *CELLS]
        rows.append(
            [dice.choice(odd) for _ in range(len(headings) + dice.choice((0, 0, 0, -1, 2)))]
        )
    return rows


def _csv(dice: random.Random) -> bytes:
    made = csv_bytes(*_rows(dice), delimiter=dice.choice(",;\t|"))
    if dice.random() < 0.7:
        made = damage.text(dice, made.decode()).encode("utf-8", "replace")
    if dice.random() < 0.3:
        made = made.decode("utf-8", "replace").encode(
            dice.choice(("utf-16", "cp1252", "utf-8-sig", "utf-16-le")), "replace"
        )
    return damage.content(dice, made) if dice.random() < 0.3 else made


def _workbook(dice: random.Random) -> bytes:
    made = workbook(*_rows(dice))
    if dice.random() < 0.2:
        return damage.content(dice, made)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(made)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if dice.random() < 0.35:
                text = part.decode("utf-8", "replace")
                part = damage.text(dice, text).encode("utf-8", "replace")
            elif dice.random() < 0.1:
                part = damage.content(dice, part)
            if dice.random() > 0.03:
                new.writestr(name, part, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def case(seed: int, folder: pathlib.Path) -> list[str]:
    """One table; returns its faults."""
    dice = random.Random(seed)
    files: dict[str, str | bytes] = dict(sound_files())
    library = library_folder(folder, settings=str(files.pop("library.yml")), files=files)
    before = {path.name for path in library.rglob("*.md")}
    name = dice.choice(("table.csv", "table.xlsx"))
    (folder / name).write_bytes(_csv(dice) if name == "table.csv" else _workbook(dice))
    status, _, faults = command(["intake", name, "--library", "library"], folder)
    outside = {path.name for path in folder.iterdir()} - {"library", "library-intake", name}
    faults += [f"intake wrote {other} outside" for other in outside]
    if status:
        return faults
    for path in library.rglob("*.md"):
        if path.name not in before and "\nreviewed:" in path.read_text("utf-8"):
            faults.append("intake: a draft arrives reviewed")
    return faults + command(["check", "--library", "library"], folder)[2]
