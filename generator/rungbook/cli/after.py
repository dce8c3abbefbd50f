"""Show what the rules say after a session of an exercise."""

from __future__ import annotations

import datetime
import json
import pathlib
from typing import TYPE_CHECKING, Any

import click

from rungbook.cli import options
from rungbook.model.criterion import SETTLED_HOURS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rungbook.ladder.after import After, Said
    from rungbook.ladder.session import Session
    from rungbook.ladder.session_rules import RulesFor

OF_TEN = click.FloatRange(0, 10)
SWELLINGS = ("none", "less", "same", "more")
OUTCOMES = {
    "stop": "STOP",
    "back": "Back",
    "stay": "Stay",
    "criteria-met": "Criteria met",
    "cannot-say": "Cannot say",
}


def _hours(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    """`next morning`, `2 days`, `not yet` in hours."""
    from rungbook.ladder.session import NOT_YET
    from rungbook.ladder.session_rules import settle_hours

    if value is None:
        return None
    hours = NOT_YET if value.strip() == "not yet" else settle_hours(value)
    if hours is None:
        words = ", ".join(f"'{word}'" for word in SETTLED_HOURS)
        raise click.BadParameter(f"'{value}' is not {words}, a time such as '3 days', or 'not yet'")
    return hours


def _weeks(ctx: click.Context, param: click.Parameter, value: str | None) -> float | None:
    hours = _hours(ctx, param, value)
    return None if hours is None else hours / 168


def _done(ctx: click.Context, param: click.Parameter, value: str | None) -> dict[str, Any]:
    from rungbook.ladder.session_line import done

    found = done(value) if value else {}
    if value and not found:
        raise click.BadParameter(f"'{value}' is not such as '3 x 15', '3 x 30 s', '3 x 5 of 15 s'")
    return found


def _last(ctx: click.Context, param: click.Parameter, value: str | None) -> Session | None:
    from rungbook.ladder.session_line import read_session_line

    try:
        return read_session_line(value) if value else None
    except ValueError as error:
        raise click.BadParameter(f"{error}.") from None


@click.command(
    epilog="Example: rungbook after heel-raise-seated --no-red-flags --pain-during 2 "
    "--pain-next-morning 0 --done '3 x 15' --effort 4 --sessions 4 --no back-off"
)
@click.argument("exercise", metavar="EXERCISE")
@click.option("--red-flag", multiple=True, metavar="CAUTION", help="A danger sign that is there.")
@click.option("--no-red-flags", is_flag=True, help="They were looked for, and none is there.")
@click.option("--giving-way/--no-giving-way", default=None, help="Whether the joint gave way.")
@click.option("--pain-before", type=OF_TEN, help="Pain before the session, of 10.")
@click.option("--pain-during", type=OF_TEN, help="The worst pain during it, of 10.")
@click.option("--pain-night", type=OF_TEN, help="Pain that night, of 10.")
@click.option("--pain-next-morning", type=OF_TEN, help="Pain the next morning, of 10.")
@click.option(
    "--settled",
    "settled_h",
    callback=_hours,
    metavar="WHEN",
    help="When pain was back at its level: 'that night', '2 days', 'not yet'.",
)
@click.option("--swelling", type=click.Choice(SWELLINGS), help="Against the time before.")
@click.option(
    "--done",
    callback=_done,
    metavar="AMOUNT",
    help="What was done: '3 x 15', '3 x 30 s', '3 x 5 of 15 s'.",
)
@click.option("--effort", type=OF_TEN, help="Perceived effort, of 10.")
@click.option("--reserve", type=OF_TEN, help="Repetitions that were left, instead of --effort.")
@click.option("--sessions", type=click.FloatRange(0, 10000), help="Sessions on this exercise.")
@click.option(
    "--on-rung",
    "on_rung",
    callback=_weeks,
    metavar="TIME",
    help="How long on this exercise: '3 weeks'.",
)
@click.option("--missed", callback=_weeks, metavar="TIME", help="What was missed: '2 weeks'.")
@click.option(
    "--yes",
    multiple=True,
    metavar="KEY",
    help="A criterion in words that holds, by the key shown; or all of a list.",
)
@click.option(
    "--no",
    multiple=True,
    metavar="KEY",
    help="One that does not hold, such as 'back-off 1'; or all of a list: 'back-off'.",
)
@options.tests
@click.option(
    "--last",
    callback=_last,
    metavar="LINE",
    help="The line of last time, to see both and to know what held twice.",
)
@click.option(
    "--held-last/--not-held-last", default=None, help="Whether the criteria held last time too."
)
@click.option("--weeks", type=click.FloatRange(0, 5200), help="Weeks since the operation.")
@options.ladder
@options.library
@options.output_format("text", "json")
@options.today
def command(
    exercise: str, library: pathlib.Path, output_format: str, today: datetime.date, **given: Any
) -> None:
    """Hold a session of EXERCISE against the rules: danger signs first, then back off, pain, on.

    The more cautious rule wins, and rules that disagree are shown. It shows what the rules say;
    whether to follow them is for the clinician. Nothing is kept.
    """
    from rungbook.cli import known
    from rungbook.cli.progress import progress
    from rungbook.ladder.after import after
    from rungbook.ladder.session_line import session_line
    from rungbook.ladder.session_rules import rules_for
    from rungbook.pipeline.analyse import analyse

    with progress() as say:
        measured = analyse(library, today, say).measured
    known.exercise(measured, exercise)
    known.ladder(measured, given["ladder"], exercise)
    rules = rules_for(measured, exercise, given["ladder"], given["weeks"])
    session = _session(rules, given)
    found = after(rules, session)
    if output_format == "json":
        click.echo(json.dumps(after_values(found, rules), indent=2, ensure_ascii=False))
        return
    titles = {id: one.title for id, one in measured.library.exercises.items()}
    click.echo(_text(found, rules, titles))
    if session.last is not None:
        click.echo(f"\nLast time: {session_line(session.last)}")
    if line := session_line(session):
        click.echo(f"\nFor the notes: {line}")


def _session(rules: RulesFor, given: dict[str, Any]) -> Session:
    from rungbook.cli.known import known
    from rungbook.cli.testing import test_results
    from rungbook.ladder.session import EFFORT_OF_NONE_LEFT, Session

    flags = frozenset(known(one, [key for key, _ in rules.flags], "danger sign of this exercise")
                      for one in given["red_flag"])  # fmt: skip
    effort = given["effort"]
    if effort is None and given["reserve"] is not None:
        effort = EFFORT_OF_NONE_LEFT - given["reserve"]
    plain = ("giving_way", "pain_before", "pain_during", "pain_night", "pain_next_morning",
             "settled_h", "swelling", "sessions", "held_last", "last")  # fmt: skip
    return Session(
        red_flags=flags if flags or given["no_red_flags"] else None,
        effort=effort,
        weeks=given["on_rung"],
        missed_weeks=given["missed"],
        answers=_answers(rules, given),
        tests=test_results(given["tests"]),
        **{name: given[name] for name in plain},
        **given["done"],
    )


def _answers(rules: RulesFor, given: dict[str, Any]) -> dict[str, bool]:
    """Answers to criteria in words, by key; the name of a list stands for all of it."""
    from rungbook.cli.known import known
    from rungbook.ladder.session_rules import word_keys

    lists = word_keys(rules)
    keys = {key: [key] for found in lists.values() for key in found}
    choices = {**lists, **keys}
    return {
        key: value
        for name, value in (("yes", True), ("no", False))
        for told in given[name]
        for key in choices[known(told, choices, "criterion in words of this exercise")]
    }


def after_values(found: After, rules: RulesFor) -> dict[str, Any]:
    """`{"exercise","ladder","outcome","to","advice","rules","conflict"}`."""
    return {
        "exercise": found.exercise,
        "ladder": rules.ladder,
        "outcome": found.outcome,
        "to": list(found.to),
        "advice": found.advice,
        "rules": [_values(one) for one in found.rules],
        "conflict": [_values(one) for one in found.conflict],
    }


def _values(one: Said) -> dict[str, Any]:
    return {
        "rule": one.rule,
        "says": one.says,
        "met": one.met,
        "source": one.source,
        "leads": one.leads or None,
        "to": one.to or None,
        "key": one.key or None,
    }


def _text(found: After, rules: RulesFor, titles: dict[str, str]) -> str:
    lines = [f"{rules.title} ({rules.exercise})" + (f", on {rules.ladder}" if rules.ladder else "")]
    named = ", ".join(f"{titles[to]} ({to})" for to in found.to)
    lines.append(f"\n{OUTCOMES[found.outcome]}: {found.advice}" + (f" {named}" if named else ""))
    if found.conflict:
        lines.append("\nThe rules disagree, and the more cautious holds:")
        lines += [f"  {OUTCOMES.get(one.leads, 'On')}: {_said(one)}" for one in found.conflict]
    lines += ["\nThe rules", *_rules(found)]
    lines.append("\nThis shows what the rules say. It does not decide.")
    return "\n".join(lines)


def _rules(found: After) -> Iterator[str]:
    marks = {True: "yes", False: "no ", None: "?  "}
    for one in found.rules:
        key = f" [{one.key}]" if one.key and one.met is None else ""
        yield f"  {marks[one.met]} {_said(one)}{key}"


def _said(one: Said) -> str:
    of_a_step = one.rule in ("criterion", "least time", "two sessions") and one.to
    target = f" (for {one.to})" if of_a_step else ""
    source = f" ({one.source})" if one.source else ""
    return f"{one.rule}{target}: {one.says}{source}"
