"""Serve the site on this machine and follow every change of the library."""

from __future__ import annotations

import datetime
import pathlib
import time

import click

from rungbook.cli import options

LOOK_EVERY_S = 0.2
SHOWN = 20


@click.command(epilog="Example: rungbook preview --library library --port 8000")
@options.library
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8000, show_default=True,
    help="Port on this machine; 0 takes any free one.",
)  # fmt: skip
@click.option("--once", is_flag=True, hidden=True, help="Stop after the first build (for tests).")
def command(library: pathlib.Path, port: int, once: bool) -> None:
    """Serve the site on this machine and follow every change of the library.

    Pages open in the browser reload by themselves and show what the checks found; the terminal
    shows the findings too. Errors do not stop a preview. Stop it with Ctrl-C.
    """
    from rungbook.reading.read import NoLibrary
    from rungbook.site.publishing.live import LiveSite, signature
    from rungbook.site.publishing.serve import PreviewServer

    site = LiveSite(library)
    seen = signature(library)
    _tell(site.rebuild(datetime.date.today()))
    try:
        server = PreviewServer(site, port)
    except OSError as error:
        raise click.ClickException(
            f"port {port} cannot be used ({error.strerror}): choose another with --port, "
            "or 0 for any free one"
        ) from None
    server.start()
    click.echo(f"Serving {library} at {server.url} (stop with Ctrl-C)")
    try:
        while not once:
            time.sleep(LOOK_EVERY_S)
            now = signature(library)
            if now == seen:
                continue
            seen = now
            try:
                _tell(site.rebuild(datetime.date.today()))
            except NoLibrary as error:
                click.echo(f"Not rebuilt: {error}", err=True)
    except KeyboardInterrupt:
        click.echo("Stopped.")
    finally:
        server.shutdown()


def _tell(built: object) -> None:
    from rungbook.site.publishing.live import Built

    assert isinstance(built, Built)
    serious = [finding for finding in built.findings if finding.level != "note"]
    for finding in serious[:SHOWN]:
        click.echo(f"{finding.place}: {finding.level}: {finding.message} [{finding.check}]")
    if len(serious) > SHOWN:
        click.echo(f"… and {len(serious) - SHOWN} more: 'rungbook check' lists them all")
    counts = ", ".join(f"{amount} {level}s" for level, amount in built.counts.items())
    click.echo(f"Built in {built.seconds:.2f} s: {counts}")
