"""All that a sheet says once: whom to call, when to get help, what to do after a bad day."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.languages import home_language, missing_settings
from rungbook.model.library import FlareUpRule, Settings
from rungbook.site.sheet.messages import Messages
from rungbook.site.sheet.time_words import lasting, time_words

_BACK_KEYS = {"same rung": "flare.same", "one rung": "flare.one", "entry": "flare.entry"}


@dataclass(frozen=True, slots=True)
class FlareRow:
    """A line of the rule for bad days."""

    lasts: str
    do: str


@dataclass(frozen=True, slots=True)
class SheetFrame:
    """What a sheet says once, in one language. `missing`: what the library lacks in it."""

    library: str
    flare: tuple[FlareRow, ...]
    stop: tuple[str, ...]
    stop_call: str
    contact: str | None
    urgent: tuple[str, ...]  # ours, where the clinic has no words of its own
    urgent_call: str | None
    urgent_own: str | None
    missing: tuple[str, ...]


def missing_frame(settings: Settings, say: Messages) -> tuple[str, ...]:
    """What library.yml lacks in the language of `say`."""
    home = home_language(settings)
    if say.language == home:
        return ()
    unsaid = (
        f"flare-up: lasts ({say.language})"
        for rule in settings.flare_up
        if not rule.said("lasts", say.language, home) and lasting(rule.lasts, say) == rule.lasts
    )
    return (*missing_settings(settings, say.language), *unsaid)


def _flare_rows(measured: MeasuredLibrary, say: Messages) -> tuple[FlareRow, ...]:
    """What to do after a bad day: by what `back` means, so that it is whole in any language.

    Several exercises stand on a sheet: each has its own easier one beside it, and none is "the
    first". The clinic's own words stand where they say more than how far to go back.
    """
    settings = measured.library.settings
    if not settings.flare_up:
        pairs = (
            ("flare.day", "flare.same"),
            ("flare.days", "flare.one"),
            ("flare.several", "flare.entry"),
        )
        return tuple(FlareRow(say(lasts), say(do)) for lasts, do in pairs)
    return tuple(_flare_row(rule, home_language(settings), say) for rule in settings.flare_up)


def _flare_row(rule: FlareUpRule, home: str, say: Messages) -> FlareRow:
    own = rule.said("lasts", say.language, home) if say.language != home else None
    lasts = own or lasting(rule.lasts, say)
    if rule.again_within:
        within = rule.said("again-within", say.language, home) if say.language != home else None
        lasts += ", " + say("flare.again", time=within or time_words(rule.again_within, say))
    meaning = _BACK_KEYS.get(rule.back or "")
    return FlareRow(lasts, say(meaning) if meaning else rule.said("do", say.language, home) or "")


def sheet_frame(measured: MeasuredLibrary, say: Messages) -> SheetFrame:
    """All that is said once on a sheet, in the language of `say`."""
    settings = measured.library.settings
    home = home_language(settings)
    contact = settings.said("contact", say.language, home)
    urgent = settings.said("urgent", say.language, home)
    return SheetFrame(
        library=settings.name,
        flare=_flare_rows(measured, say),
        stop=say.items("stop.items"),
        stop_call=say("stop.call") if contact else say("stop.call-giver"),
        contact=contact,
        urgent=() if urgent else say.items("urgent.items"),
        urgent_call=None if urgent else say("urgent.call"),
        urgent_own=urgent or None,
        missing=missing_frame(settings, say),
    )
