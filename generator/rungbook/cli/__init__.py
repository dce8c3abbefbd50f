"""One file a command: arguments and exit status, nothing else.

A module of this folder that defines `command` is a command of that name. None is imported
before it is called, so that the program starts at once; the list of commands reads the first
line of each module as text.
"""

from __future__ import annotations

import os

import click

from rungbook import __version__

FOLDER = os.path.dirname(__file__)


def _source(module: str) -> str:
    with open(os.path.join(FOLDER, f"{module}.py"), encoding="utf-8") as file:
        return file.read()


class CommandFolder(click.Group):
    """A group whose commands are the modules of this folder."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        modules = (name[:-3] for name in os.listdir(FOLDER) if name.endswith(".py"))
        return sorted(
            module.replace("_", "-")
            for module in modules
            if not module.startswith("_") and "\ndef command(" in _source(module)
        )

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        from importlib import import_module

        found: click.Command = import_module(f"{__name__}.{cmd_name.replace('-', '_')}").command
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and not args[0].startswith("-") and args[0] not in self.list_commands(ctx):
            from difflib import get_close_matches

            near = get_close_matches(args[0], self.list_commands(ctx), n=1)
            hint = f" Did you mean '{near[0]}'?" if near else ""
            ctx.fail(f"No such command '{args[0]}'.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        rows = [(name, self._summary(name)) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def _summary(self, name: str) -> str:
        lines = _source(name.replace("-", "_")).splitlines()
        return lines[0].strip().strip('"') if lines and lines[0].startswith('"""') else ""

    def invoke(self, ctx: click.Context) -> object:
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:
            if os.environ.get("RUNGBOOK_TRACEBACK"):
                raise
            click.echo(_last_words(error), err=True)
            ctx.exit(2)


def _last_words(error: Exception) -> str:
    """What to say of an exception that nothing below has caught: one short paragraph."""
    from rungbook.pipeline.workers import WorkerEnded
    from rungbook.reading.read import NoLibrary

    if isinstance(error, NoLibrary | WorkerEnded):
        return f"Error: {error}"
    if isinstance(error, OSError):
        where = f"{error.filename}: " if error.filename else ""
        return f"Error: {where}{error.strerror or error}"
    frame = error.__traceback__
    while frame is not None and frame.tb_next is not None:
        frame = frame.tb_next
    at = (
        f" ({os.path.basename(frame.tb_frame.f_code.co_filename)}:{frame.tb_lineno})"
        if frame
        else ""
    )
    return (
        f"Rungbook {__version__} met a fault of its own: {type(error).__name__}: {error}{at}\n"
        "Your files are as they were. Please report it with this message, the command and, if you\n"
        "may share it, the file that brings it about; RUNGBOOK_TRACEBACK=1 shows where it arose."
    )


@click.group(
    cls=CommandFolder,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Shows and computes; whether an exercise suits a patient is the clinician's to decide.",
)
@click.version_option(__version__, prog_name="rungbook")
@click.option(
    "--library", metavar="DIR", help="The library's folder, for whatever command follows."
)
@click.pass_context
def main(ctx: click.Context, library: str | None) -> None:
    """Exercise ladders as text: their loads, their missing steps, and a site to use them from."""
    if library is not None and ctx.invoked_subcommand is not None:
        ctx.default_map = {ctx.invoked_subcommand: {"library": library}}
