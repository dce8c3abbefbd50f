"""The library: settings, vocabularies, exercises, ladders."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal, get_args

from pydantic import BeforeValidator, Field, WithJsonSchema

from rungbook.model.exercise import Exercise
from rungbook.model.fields import Length, Mass, Share, StepLimit
from rungbook.model.finding import Finding
from rungbook.model.ladder import Ladder, PainRule
from rungbook.model.place import Place, SourceMap, WholeFile, base_of
from rungbook.model.record import KnownPlaces, Record
from rungbook.model.restriction import Restriction
from rungbook.model.text import Colour, Doi, Language, Period, Program, Title, Url
from rungbook.model.translated import Translated

Axis = Literal[
    "demand", "bearing", "impact", "range", "lengthening",
    "speed", "stability", "volume", "changes", "elsewhere",
]  # fmt: skip
Lever = Literal["assistance", "volume", "range", "lever-arm", "resistance", "position"]
AXES: tuple[Axis, ...] = get_args(Axis)
RATIO_AXES = frozenset({"demand", "speed", "volume", "elsewhere"})  # limits above 1
MOST_LIMITS: Mapping[str, float] = {"demand": 2.5}  # more than that is no step
# YAML 1.1 makes false of `off`.
CheckLevel = Annotated[
    Literal["error", "warning", "note", "off"],
    BeforeValidator(lambda value: "off" if value is False else value),
    WithJsonSchema({"enum": ["error", "warning", "note", "off", False]}),
]
LEVERS: tuple[Lever, ...] = (
    "assistance", "volume", "range", "lever-arm", "resistance", "position",
)  # fmt: skip


# Names of the tables of body segments, which are data of the body layer.
BODIES = ("female", "male", "winter")


class Person(Record):
    """The reference person (or the patient): 70 kg, 1.70 m, female unless written."""

    mass: Mass = Field(default=70.0, ge=20, le=350)
    stature: Length = Field(default=1.70, ge=0.9, le=2.5)
    body: str = "female"  # one of BODIES


class FlareUpRule(Translated):
    """What to do after a flare-up that lasted `lasts`."""

    TRANSLATED = frozenset({"lasts", "do", "again-within"})

    lasts: str
    worse_than: str | None = None
    again_within: str | None = None
    do: str
    back: Literal["same rung", "one rung", "entry"] | None = None
    source: str | None = None


class ReviewRule(Record):
    """How long a review is good for."""

    every: Period = "24 months"


class Site(Record):
    """Where the library is published and its accent colour."""

    url: Url | None = None
    colour: Colour | None = None


class Diagrams(Record):
    """Which Graphviz engine draws the maps."""

    engine: Program = "graphviz-pure"


class BalanceTask(Record):
    """What makes standing harder besides what is stood on, in classes of balance."""

    title: Title
    adds: int = Field(default=1, ge=1, le=2)
    sources: tuple[str, ...] = ()


class Settings(Translated):
    """library.yml: everything has a default."""

    NOT_WRITTEN = frozenset({"source", "in_languages"})
    TRANSLATED = frozenset({"contact", "urgent"})

    name: str = "Exercise library"
    language: Language = "en"
    person: Person = Field(default_factory=Person)
    limits: dict[str, StepLimit] = Field(default_factory=dict)
    entry_share: Share = 0.5  # common practice, no source
    levers: tuple[Lever, ...] = LEVERS
    flare_up: tuple[FlareUpRule, ...] = ()
    pain_rule: PainRule | None = None
    review: ReviewRule = Field(default_factory=ReviewRule)
    reading_grade: float = 8
    contact: str | None = None
    urgent: str | None = None
    site: Site = Field(default_factory=Site)
    balance: dict[str, BalanceTask] = Field(default_factory=dict)
    diagrams: Diagrams = Field(default_factory=Diagrams)
    checks: dict[str, CheckLevel] = Field(default_factory=dict)
    extends: str | None = None  # the way to a library that this one builds on
    without: tuple[str, ...] = ()  # ids of its exercises and ladders that are left out here
    source: KnownPlaces = Field(default_factory=WholeFile, exclude=True, repr=False)

    def place(self, *path: str | int) -> Place:
        """Where the value at `path` was written."""
        return self.source.place(path)


class Term(Record):
    """An entry of a vocabulary (area, caution, equipment): a title and words about it."""

    title: Title
    text: str = ""
    red_flag: bool = False
    assists: Literal["set", "felt"] | None = None  # equipment: how exactly its help can be set
    unstable: bool = False  # equipment: an unstable surface
    fixed: bool = True  # equipment: does not move when a hand rests on it
    sources: tuple[str, ...] = ()


class Source(Record):
    """A publication, a standard, or `common practice`."""

    title: Title
    authors: str | None = None
    year: int | None = Field(default=None, ge=1500, le=2100)
    journal: str | None = None
    doi: Doi | None = None
    url: Url | None = None
    kind: str | None = None  # paper, standard, book, common-practice
    from_memory: bool = False
    text: str = ""


@dataclass(frozen=True)
class Vocabulary:
    """The library's own words, by key, in the order they were written."""

    areas: Mapping[str, Term] = field(default_factory=dict)
    cautions: Mapping[str, Term] = field(default_factory=dict)
    equipment: Mapping[str, Term] = field(default_factory=dict)
    restrictions: Mapping[str, Restriction] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    # What people type into the search, and what it stands for.
    search: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    places: Mapping[str, SourceMap] = field(default_factory=dict)  # "areas" -> its file's map


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A file that did not become an exercise or ladder, and the exercises its text leads to.

    `file` is the one to mend: that of the exercise it varies, where the fault lies there.
    """

    file: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BaseLibrary:
    """A library that this one builds on: the way to it as written, its folder and its name.

    `place` is where this one names it, or what leads to it.
    """

    way: str
    root: pathlib.Path
    name: str
    place: Place


@dataclass(frozen=True)
class Library:
    """Everything that was read, and what reading found.

    `exercises` and `ladders` hold the valid ones, by id in sorted order. `root` is the folder;
    `bases` are what it builds on, the nearest first; `replaced` are digests of files of theirs, by
    id, that files of its own stand in place of.
    """

    root: pathlib.Path
    settings: Settings = field(default_factory=Settings)
    vocabulary: Vocabulary = field(default_factory=Vocabulary)
    exercises: Mapping[str, Exercise] = field(default_factory=dict)
    ladders: Mapping[str, Ladder] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    # Ids of exercises that are there but left out for a fault already reported.
    withheld: frozenset[str] = frozenset()
    left_out: Mapping[str, LeftOut] = field(default_factory=dict)  # of them, by id
    left_out_ladders: Mapping[str, LeftOut] = field(default_factory=dict)
    bases: tuple[BaseLibrary, ...] = ()
    # By vocabulary, what any file names as one of its words, whatever of the library was read.
    named: Mapping[str, frozenset[str]] = field(default_factory=dict)
    replaced: Mapping[str, str] = field(default_factory=dict)
    # Keys of library.yml with a fault, for which defaults stand in; all where it cannot be read.
    unsound_settings: frozenset[str] = frozenset()

    @property
    def folders(self) -> tuple[pathlib.Path, ...]:
        """Its folder, then those of its bases."""
        return (self.root, *(base.root for base in self.bases))

    def origin(self, file: str) -> str:
        """The name of the base that a file comes from; "" for the library's own."""
        way = base_of(file)
        return next((base.name for base in self.bases if base.way == way), way)
