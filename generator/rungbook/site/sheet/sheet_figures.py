"""The figures of a sheet: sized by its type, labelled with what is set for the patient."""

from __future__ import annotations

import re
from typing import Literal

from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.drawing.svg import Say
from rungbook.drawing.thumbnail import thumbnails
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.set_up import SetUp, set_up
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.patient_dose import mass_words
from rungbook.site.sheet.sheet import SheetPart

# 12.4 px of a drawing are one em of the sheet: its words print as large as the sheet's own. A strip
# of 395 px is as wide as the paper's 180 mm in large print; a standing body is 26 mm high.
LABEL, WIDEST, PX_PER_M = 12.4, 395.0, 45.0
STOPS = (5,)  # half the way: who may go less is shown the start and where to
_SIZE = re.compile(r'width="([\d.]+)" height="([\d.]+)"')
_KILOGRAMS = re.compile(r">(\d × )?[\d.,]+[\s\u202f]kg</text>")


def figure(
    measured: MeasuredLibrary, exercise: Exercise, side: Literal["left", "right"], say: Messages
) -> str | None:
    """The figure of that side, its size in em of the sheet; None where no posture was computed.

    Its smallest words are as large as the sheet's own, in large print too: a figure that would
    be too wide or too high for that is drawn smaller, with words of the same size.
    """
    wanted = wanted_figure(measured, exercise, side, say.phrase)
    return in_em(exercise_figures([wanted])[0]) if wanted else None


def wanted_figure(
    measured: MeasuredLibrary, exercise: Exercise, side: Literal["left", "right"], say: Say
) -> Wanted | None:
    """The figure of that side before it is drawn; None where no posture was computed."""
    load = measured.loads.get(exercise.id)
    if load is None or load.skeleton is None:
        return None
    return Wanted(exercise, load, side, px_per_m=PX_PER_M, width_px=WIDEST,
                  prefix=f"sheet-{exercise.id}", say=say, numbered=True,
                  parts=STOPS if set_up(exercise).arc else ())  # fmt: skip


def small_figure(measured: MeasuredLibrary, part: SheetPart) -> str:
    """The easier exercise of a part as a small figure; "" where there is none."""
    load = measured.loads.get(part.easier.id) if part.easier else None
    if part.easier is None or load is None:
        return ""
    return thumbnails([(measured.library.exercises[part.easier.id], load)], inline=True)[0]


def in_em(svg: str) -> str | None:
    """A drawing with its size in em of the sheet, in place of pixels."""
    size = _SIZE.search(svg)
    if size is None:
        return None
    width, height = float(size[1]), float(size[2])
    em = f'width="{width / LABEL:.2f}em" height="{height / LABEL:.2f}em"'
    return _SIZE.sub(em, svg, count=1)


def relabelled(svg: str, written: SetUp, own: SetUp, say: Messages) -> str:
    """A drawing that says what is set for the patient, in its labels and its words."""
    if own.weight_kg is None or written.weight_kg is None:
        return svg
    said = re.compile(rf"(?<![\d.,]){re.escape(f'{written.weight_kg:g} kg')}")
    labelled = _KILOGRAMS.sub(rf">\g<1>{mass_words(own.weight_kg, say)}</text>", svg)
    return said.sub(mass_words(own.weight_kg, say), labelled)
