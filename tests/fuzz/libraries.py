"""Whole libraries with damaged, misplaced and hostile files: checked, and built as a draft."""

from __future__ import annotations

import os
import pathlib
import random

from builders.rich import RICH_FILES, as_file
from builders.sound import sound_files

from . import damage
from .judging import command, page_faults

_SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><defs><g id="a"><path d="M0 0h9"/>'
    '</g></defs><use href="#a"/><rect fill="url(#b)" width="9" height="9"/></svg>'
)
_NAMES = (
    "exercises/{}.md", "exercises/{}/x.md", "ladders/{}.md", "vocabulary/{}.yml", "pictures/{}.svg",
    "{}", "exercises/arm/{}.md",
)  # fmt: skip
_ODD_NAMES = (
    "con", "x" * 240, "Ä", "a b", "__proto__", "-", "a--b", "HEAD", "..x", "index", "x.md", "\u202e",
    "constructor", "404", "search", "data", "sheet",
)  # fmt: skip


def _files(dice: random.Random) -> dict[str, bytes]:
    rich = {file: as_file(file, keys) for file, keys in RICH_FILES.items()}
    texts = sound_files() if dice.random() < 0.6 else {**sound_files(), **rich}
    files = {file: text.encode() for file, text in texts.items()}
    files["pictures/x.svg"] = _SVG.encode()
    names = sorted(files)
    for _ in range(dice.choice((1, 1, 2, 5))):
        name = dice.choice(names)
        how = dice.random()
        if how < 0.45:
            files[name] = damage.text(dice, files[name].decode("utf-8", "replace")).encode(
                "utf-8", "replace"
            )
        elif how < 0.75:
            text = files[name].decode("utf-8", "replace")
            files[name] = damage.value(dice, text).encode("utf-8", "replace")
        elif how < 0.82:
            files[name] = damage.content(dice, files[name])
        elif how < 0.9:
            files[dice.choice(_NAMES).format(dice.choice(_ODD_NAMES))] = files[name]
        elif how < 0.95:
            del files[name]
            names.remove(name)
        else:
            files[name] = files[dice.choice(names)]
    return files


def _laid_out(dice: random.Random, folder: pathlib.Path) -> None:
    for name, content in _files(dice).items():
        path = folder / "library" / name
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        except OSError:
            continue  # two names that cannot both be
    if dice.random() < 0.08:
        odd = folder / "library" / dice.choice(("library.yml", "exercises/x.md", "pictures/x.svg"))
        odd.unlink(missing_ok=True)
        dice.choice((os.mkfifo, lambda path: path.symlink_to("/dev/zero")))(odd)


def case(seed: int, folder: pathlib.Path) -> list[str]:
    """One library, laid out in the empty folder; returns its faults."""
    dice = random.Random(seed)
    _laid_out(dice, folder)
    _, _, faults = command(["check", "--library", "library"], folder)
    more = dice.choice(
        ("build", "build", "build", "schema", "steps", "export", "progress", "within", "sheet")
    )
    arguments = {
        "build": ["build", "--draft", "--library", "library", "--site", "site"],
        "schema": ["check", "--library", "library", "--format", "sarif"],
        "steps": ["steps", "--library", "library"],
        "export": [
            "export",
            dice.choice(("fhir", "csv", "graphml", "json")),
            "--library",
            "library",
        ],
        "progress": ["fill", "arm-low", "arm-high-weight", "--library", "library", "--write"],
        "within": ["within", "--library", "library"],
        "sheet": ["sheet", "arm-low", "--library", "library"],
    }[more]
    faults += command(arguments, folder)[2]
    outside = {path.name for path in folder.iterdir()} - {"library", "site"}
    faults += [f"{more} wrote {name} outside" for name in outside if not name.startswith(".site")]
    return faults + page_faults(folder / "site")
