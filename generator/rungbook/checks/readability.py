"""How hard a text is to read: the grade of Flesch and Kincaid, counted offline.

Grade = 0.39 words per sentence + 11.8 syllables per word - 15.59 (Kincaid, Fishburne, Rogers
and Chissom 1975). It is made for English only. Syllables are counted twice, by the hyphenation
points of `pyphen` and by spelling, and the larger number counts: hyphenation leaves out points
near the ends of a word. Against the CMU pronouncing dictionary this was right for 99 of 100
words of running text, with no bias of the sum; pyphen alone was 5 % low, half a grade.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

_VOWELS = re.compile("[aeiouy]+")
_SILENT = re.compile(
    r"[^aeiouyl]e$|[aeiouy]le$|[^aeiouytd]ed$|[aeiouy]{2}ed$"
    r"|[^aeiouysxzcghl]es$|[^cs]hes$|[aeiouy]les$"
    r"|[aeiouy][^aeiouy]+e(?:ly|ful|fully|ments?|less|ness)$"
)
_APART = re.compile(  # vowels side by side that are said one after the other
    r"ia(?!l$|n$|ls$|r)|(?<![tcsgx])i[ao]|eo(?!u|p)|iu|[aeiouy]ing$|(?<![qg])ua|(?<![aeg])uou"
    r"|(?<![tcsaeio])ie[rt]|thm$|sm$|(?<![aeiou])rea(?:li|ct)|crea(?!m)|idea(?!l)|area|ysio"
)
FEWEST_WORDS_OF_A_SENTENCE = 6  # the grade of a shorter one hangs on a single word
_WORD = re.compile(r"[A-Za-z]+(?:['\u2019][A-Za-z]+)*|\d+(?:[.,]\d+)*")
_ENDS = re.compile(r"(?<=[.!?:;])[\"')\]]*\s+|\n+")
_MARKS = re.compile(
    r"!\[[^\]]*\]\([^)]*\)|(?<=\])\([^)]*\)|<[^>]*>|^\s*(?:[-*+#>]+|\d+[.)])\s+", re.M
)


@dataclass(frozen=True, slots=True)
class Readability:
    """The grade of a text, its words, and the sentence with the highest grade of its own."""

    grade: float
    words: int
    sentences: int
    hardest: str


@cache
def _hyphenation() -> Any:
    import pyphen

    return pyphen.Pyphen(lang="en_US")


@cache
def syllables(word: str) -> int:
    """Syllables of an English word; a number counts as one."""
    lower = word.lower().replace("\u2019", "").replace("'", "")
    if len(lower) < 3 or not lower.isalpha():
        return 1
    spelt = len(_VOWELS.findall(lower))
    spelt += bool(_APART.search(lower)) - bool(_SILENT.search(lower))
    return max(1, spelt, len(_hyphenation().positions(lower)) + 1)


def sentences(markdown: str) -> Sequence[str]:
    """The sentences of a Markdown text, list items and headings included, without markup."""
    plain = _MARKS.sub("", markdown)
    parts = (re.sub(r"[*_`\[\]]", "", part).strip() for part in _ENDS.split(plain))
    return [part for part in parts if _WORD.search(part)]


def grade(words: int, sentence_count: int, syllable_count: int) -> float:
    """Flesch and Kincaid's grade from the three counts."""
    return 0.39 * words / sentence_count + 11.8 * syllable_count / words - 15.59


@lru_cache(maxsize=4096)  # variations share their words
def _words(markdown: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Every sentence with its words."""
    return tuple((one, tuple(_WORD.findall(one))) for one in sentences(markdown))


def word_count(markdown: str) -> int:
    """How many words a text has."""
    return sum(len(words) for _, words in _words(markdown))


@lru_cache(maxsize=4096)
def readability(markdown: str) -> Readability | None:
    """The readability of an English text; None where it has no words."""
    counted = [
        (sentence, len(words), sum(map(syllables, words))) for sentence, words in _words(markdown)
    ]
    if not counted:
        return None
    total = sum(words for _, words, _ in counted)
    spoken = sum(count for _, _, count in counted)
    long_enough = [one for one in counted if one[1] >= FEWEST_WORDS_OF_A_SENTENCE] or counted
    hardest = max(long_enough, key=lambda one: grade(one[1], 1, one[2]))[0]
    return Readability(grade(total, len(counted), spoken), total, len(counted), hardest)
