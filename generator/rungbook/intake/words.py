"""Words of a table to the words of the library: positions, sides, actions, vocabulary keys."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from pydantic_core import PydanticCustomError

from rungbook.model.library import Library
from rungbook.model.movement import Action
from rungbook.model.position import POSITIONS
from rungbook.model.quantity import parse_action

# How people write positions (common practice, no source); words with two meanings stay out.
POSITION_WORDS: dict[str, str] = {
    "stand": "standing", "upright": "standing", "single leg stance": "single-leg-standing",
    "single leg standing": "single-leg-standing", "one leg standing": "single-leg-standing",
    "split stance": "split-stance", "bent over": "bent-forward", "bent forward": "bent-forward",
    "seated": "sitting", "sit": "sitting", "sitting on chair": "sitting",
    "long sit": "long-sitting", "long sitting": "long-sitting", "reclined": "reclined",
    "high kneeling": "tall-kneeling",
    "tall kneeling": "tall-kneeling", "half kneeling": "half-kneeling",
    "all fours": "quadruped", "on all fours": "quadruped", "hands and knees": "quadruped",
    "four point kneeling": "quadruped", "4 point kneeling": "quadruped",
    "side plank": "side-plank", "lying on back": "supine",
    "on the back": "supine", "back lying": "supine", "crook lying": "hook-lying",
    "hook lying": "hook-lying", "face down": "prone", "lying on stomach": "prone",
    "prone on elbows": "prone-on-elbows", "side lying": "side-lying", "sidelying": "side-lying",
    "lying on side": "side-lying", "stehend": "standing", "sitzend": "sitting",
    "rückenlage": "supine", "bauchlage": "prone", "seitenlage": "side-lying",
    "vierfüßlerstand": "quadruped", "vierfüßler": "quadruped", "vierfüsslerstand": "quadruped",
    "im stand": "standing", "stehen": "standing", "im stehen": "standing",
    "sitz": "sitting", "im sitz": "sitting", "sitzen": "sitting", "im sitzen": "sitting",
    "langsitz": "long-sitting", "halbsitz": "reclined", "einbeinstand": "single-leg-standing",
    "schrittstellung": "split-stance", "ausfallschritt": "split-stance",
    "kniestand": "tall-kneeling", "einbeinkniestand": "half-kneeling",
    "halbkniestand": "half-kneeling", "seitlage": "side-lying", "seitstütz": "side-plank",
    "unterarmstütz": "plank", "liegestützposition": "plank",
    "rückenlage, beine aufgestellt": "hook-lying", "vorgebeugt": "bent-forward",
    "debout": "standing", "assis": "sitting", "assise": "sitting", "semi assis": "reclined",
    "assis jambes tendues": "long-sitting", "appui unipodal": "single-leg-standing",
    "unipodal": "single-leg-standing", "fente": "split-stance", "fente avant": "split-stance",
    "penché en avant": "bent-forward", "à genoux": "tall-kneeling",
    "chevalier servant": "half-kneeling", "à quatre pattes": "quadruped",
    "quatre pattes": "quadruped", "quadrupédie": "quadruped", "planche": "plank",
    "gainage": "plank", "planche latérale": "side-plank", "décubitus dorsal": "supine",
    "sur le dos": "supine", "couché sur le dos": "supine", "décubitus ventral": "prone",
    "sur le ventre": "prone", "décubitus latéral": "side-lying", "sur le côté": "side-lying",
}  # fmt: skip
SIDE_WORDS: dict[str, str] = {
    "both": "both", "both sides": "both", "bilateral": "both", "both legs": "both",
    "both arms": "both", "one": "one", "one side": "one", "unilateral": "one", "each side": "one",
    "each": "one", "single": "one", "single leg": "one", "one leg": "one", "one arm": "one",
    "left/right": "one", "l/r": "one",
    "beide": "both", "beidseitig": "both", "beidseits": "both", "bds": "both", "bds.": "both",
    "beide seiten": "both", "einseitig": "one", "je seite": "one", "pro seite": "one",
    "re/li": "one", "rechts/links": "one", "les deux": "both", "bilatéral": "both",
    "des deux côtés": "both", "unilatéral": "one", "un côté": "one", "chaque côté": "one",
    "par côté": "one",
}  # fmt: skip
# Joints and movements in German and French (anatomical terms; from memory), longest first.
_ABROAD = {
    "knie": "knee", "hüft": "hip", "hüfte": "hip", "schulter": "shoulder",
    "sprunggelenk": "ankle", "fuß": "ankle", "ellenbogen": "elbow", "handgelenk": "wrist",
    "genou": "knee", "hanche": "hip", "épaule": "shoulder", "cheville": "ankle",
    "coude": "elbow", "poignet": "wrist",
    "streckung": "extension", "extension": "extension", "beugung": "flexion",
    "flexion": "flexion", "abduktion": "abduction", "abspreizung": "abduction",
    "abduction": "abduction", "adduktion": "adduction", "adduction": "adduction",
    "außenrotation": "external-rotation", "innenrotation": "internal-rotation",
    "rotation externe": "external-rotation", "rotation latérale": "external-rotation",
    "rotation interne": "internal-rotation", "rotation médiale": "internal-rotation",
    "plantarflexion": "plantarflexion", "flexion plantaire": "plantarflexion",
    "dorsalextension": "dorsiflexion", "dorsalflexion": "dorsiflexion",
    "flexion dorsale": "dorsiflexion",
}  # fmt: skip
_JOINTS = frozenset({"knee", "hip", "shoulder", "ankle", "elbow", "wrist"})
_TERMS = re.compile("|".join(sorted(map(re.escape, _ABROAD), key=len, reverse=True)))
_BETWEEN = re.compile(
    r"(?:\b(?:de|du|la|le|des|der|im|in|gelenk|gelenks)\b|\bl['\u2019]|gelenk|[\s,])*"
)
_LETTERS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "ø": "o", "æ": "ae"})
LONGEST_ID = 60


def slug(text: str) -> str:
    """Words as an id: a-z, 0-9 and single hyphens; may be empty."""
    plain = unicodedata.normalize("NFKD", text.lower().translate(_LETTERS))
    ascii = "".join(c for c in plain if not unicodedata.combining(c))
    words = re.sub(r"[^a-z0-9]+", "-", re.sub(r"['\u2019]", "", ascii)).strip("-")
    return words[:LONGEST_ID].rstrip("-")


def folded(text: str) -> str:
    """A word as it is compared: lower case, hyphens and underscores as blanks."""
    return " ".join(re.sub(r"[-_]", " ", text.casefold()).split())


def _translated(text: str) -> str:
    """`kniestreckung`, `extension du genou` as `knee extension`; else nothing."""
    found = [_ABROAD[term] for term in _TERMS.findall(text)]
    joints = [term for term in found if term in _JOINTS]
    moves = [term for term in found if term not in _JOINTS]
    rest = _BETWEEN.sub("", _TERMS.sub("", text))
    return f"{joints[0]} {moves[0]}" if len(joints) == len(moves) == 1 and not rest else ""


@dataclass(frozen=True)
class Words:
    """The words of one library."""

    library: Library

    @cached_property
    def _keys(self) -> Mapping[str, Mapping[str, str]]:
        """Of every vocabulary: what may be written for a key, folded -> the key."""
        found = {}
        for kind in ("areas", "cautions", "restrictions", "equipment", "sources"):
            entries = getattr(self.library.vocabulary, kind)
            by_word = {folded(entry.title): key for key, entry in reversed(entries.items())}
            found[kind] = by_word | {folded(key): key for key in entries}
        return found

    def key(self, kind: str, word: str) -> str | None:
        """The key of a vocabulary that a word means, by key or title."""
        known = self._keys[kind]
        plain = folded(word)
        return known.get(plain) or known.get(plain.removesuffix("s"))

    @staticmethod
    def position(word: str) -> str | None:
        """One of the positions."""
        plain = folded(word)
        hyphened = plain.replace(" ", "-")
        return hyphened if hyphened in POSITIONS else POSITION_WORDS.get(plain)

    @staticmethod
    def sides(word: str) -> str | None:
        """`both` or `one`."""
        return SIDE_WORDS.get(folded(word))

    @staticmethod
    def action(text: str) -> Action | None:
        """`Ankle plantar flexion` as an action."""
        plain = re.sub(r"\b(plantar|dorsi)[ -]?flex", r"\1flex", " ".join(text.lower().split()))
        plain = re.sub(r"\b(external|internal|lateral|medial) rotation\b", r"\1-rotation", plain)
        plain = plain.replace("lateral-rotation", "external-rotation")
        plain = plain.replace("medial-rotation", "internal-rotation")
        for words in (plain, _translated(plain)):
            try:
                return parse_action(words)
            except PydanticCustomError:
                continue
        return None

    def tests(self) -> Iterator[tuple[str, Callable[[str], bool]]]:
        """Fields that a column's content can tell, and whether a cell fits."""
        yield "position", lambda text: self.position(text) is not None
        yield "works", lambda text: self.action(text) is not None
        yield "sides", lambda text: self.sides(text) is not None and folded(text) != "one"
        yield "area", lambda text: self.key("areas", text) is not None
        for kind in ("equipment", "cautions"):
            yield (
                kind,
                lambda text, kind=kind: all(  # type: ignore[misc]
                    self.key(kind, word.strip()) for word in re.split(r"[;,\n]", text)
                ),
            )
