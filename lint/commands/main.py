"""The `gonogo` command: picks the command asked for, and answers for what goes wrong."""

from __future__ import annotations

import io
import os
import shutil
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Annotated, Any

import typer

from ..documents.error import Defect, GonogoError, UsageError
from ..documents.text import clean, in_lines
from .completion import COMPLETE, completed
from .output import DEFECT, INTERRUPTED, NARROWEST, NOT_READ, USAGE
from .slips import (
    OF_DOCUMENTS,
    YAML_ENDINGS,
    hint,
    no_such_option,
    options_of,
    refuse_bare_options,
    refuse_broken_paths,
    refuse_long_dashes,
    refuse_torn_names,
)

# A command's name is its module's; the module has a function `command`, which returns the status.
COMMANDS = (
    "check",
    "diff",
    "history",
    "window",
    "working",
    "ride",
    "corners",
    "rehearse",
    "enter",
    "sheet",
    "shop",
    "due",
    "waivers",
    "uses",
    "known",
    "sensor",
    "new",
    "bringup",
    "fill",
    "mend",
    "suspect",
    "rules",
    "schema",
    "completion",
    "help",
)
OWN_OPTIONS = ("version",)  # of gonogo itself; `help` is a command too
SHOW_DEFECT = "GONOGO_TRACEBACK"
SETTINGS = {"help_option_names": ["-h", "--help"]}
SUMMARY = "Check motor-controller settings against the limits of battery, wiring, controller, motor and tyres."


def application(names: Sequence[str] = COMMANDS) -> typer.Typer:
    """The commands as one application; only the modules of those named are imported."""
    app = typer.Typer(
        name="gonogo",
        help=SUMMARY,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings=SETTINGS,
    )
    app.callback(invoke_without_command=True)(_top)
    for name in names:
        module = import_module(f".{name}", __package__)
        app.command(name, context_settings=SETTINGS)(module.command)
    return app


def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    """Check motor-controller settings against the limits of battery, wiring, controller, motor and tyres."""
    if version:
        from .. import __version__

        print(f"gonogo {__version__}")
        raise typer.Exit(0)
    if context.invoked_subcommand is None:
        print(context.get_help())
        raise typer.Exit(USAGE)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line and leave with its status."""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        # Documents and reports are UTF-8 wherever they go, whatever the locale says.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
    sys.exit(status(sys.argv[1:] if arguments is None else arguments))


def status(arguments: Sequence[str]) -> int:
    """The exit status of a call; everything that goes wrong is said on the error stream."""
    named = arguments[0] if arguments and arguments[0] in COMMANDS else None
    try:
        if COMPLETE in os.environ:
            return completed(application, COMMANDS)
        refuse_long_dashes(arguments)
        if arguments and named is None and not arguments[0].startswith("-"):
            raise UsageError(_unknown(arguments[0]))
        app = application((named,) if named else COMMANDS)
        if named:
            _refuse_slips(app, named, arguments[1:])
        came_to = app(args=list(arguments), prog_name="gonogo", standalone_mode=False)
        return came_to if isinstance(came_to, int) else 0
    except GonogoError as error:
        return _answered(str(error), USAGE if isinstance(error, UsageError) else NOT_READ)
    except (KeyboardInterrupt, typer.Abort):
        return INTERRUPTED
    except typer.TyperException as error:
        return _answered(_usage(error, named, arguments), USAGE)
    except Exception as error:
        if os.environ.get(SHOW_DEFECT):
            raise
        what = str(error) if isinstance(error, Defect) else type(error).__name__
        return _answered(
            f"gonogo has a defect and cannot answer ({what}). Your files are as they were.\n"
            f"To report it, run the same command with {SHOW_DEFECT}=1 and send what it prints.",
            DEFECT,
        )


def _refuse_slips(app: typer.Typer, named: str, arguments: Sequence[str]) -> None:
    """Refuse words that are no documents; the options are only looked up where there are such."""
    if named in OF_DOCUMENTS and not all(map(_is_plain, arguments)):
        group: Any = typer.main.get_command(app)
        refuse_bare_options(named, arguments, options_of(group.commands[named]))
    refuse_broken_paths(named, arguments)
    refuse_torn_names(named, arguments)


def _is_plain(argument: str) -> bool:
    return argument.startswith("-") or os.path.lexists(argument)


OTHER_VERBS = {
    **dict.fromkeys(("compare", "changes", "difference"), "diff"),
    **dict.fromkeys(("validate", "verify", "lint", "test", "judge", "inspect"), "check"),
    **dict.fromkeys(("create", "init", "add", "start"), "new"),
    **dict.fromkeys(("limits", "range", "ranges", "windows"), "window"),
    **dict.fromkeys(("tolerance", "tolerances", "worst", "spread"), "corners"),
    **dict.fromkeys(("fix", "repair", "correct"), "mend"),
    **dict.fromkeys(("log", "revisions", "commits"), "history"),
    **dict.fromkeys(("explain", "describe", "info", "keys", "man"), "help"),
    **dict.fromkeys(("calculate", "formula", "quantity"), "working"),
}


def _unknown(name: str) -> str:
    """That there is no such command, and which one was probably meant."""
    if name.lower().endswith(YAML_ENDINGS) or os.path.lexists(name):
        return f"gonogo has no command {name}. Did you mean gonogo check {name}?"
    if name.strip("-").lower() in OWN_OPTIONS:
        return f"gonogo has no command {name}. Did you mean gonogo --{name.lower()}?"
    if name == "gonogo":
        return "gonogo stands there twice. Once is enough."
    if name.strip("?") == "":
        return f"gonogo has no command {name}. Did you mean gonogo help?"
    meant = OTHER_VERBS.get(name.lower())
    if meant is not None:
        return f"gonogo has no command {name}. Did you mean gonogo {meant}?"
    commands = f"Commands: {', '.join(COMMANDS)}."
    return f"gonogo has no command {name}. {hint(name, COMMANDS, commands)}"


def _usage(error: typer.TyperException, named: str | None, arguments: Sequence[str]) -> str:
    """What the call lacks, and where to read how it goes."""
    whole = f"gonogo {named}" if named else "gonogo"
    context = getattr(error, "ctx", None)
    option = getattr(error, "option_name", None)
    options = options_of(context.command) if context is not None else {}
    told = no_such_option(option, arguments, options) if option and options else None
    if option and named is None and option.lstrip("-") in COMMANDS:
        told = f"{option} is no option. Did you mean gonogo {option.lstrip('-')}?"
    if option and os.path.lexists(option.lstrip("-")):
        told = f"{option} is no option. Did you mean {option.lstrip('-')}?"
    return f"{whole}: {told or error.format_message()}\n`{whole} --help` shows the usage."


def _answered(text: str, came_to: int) -> int:
    """Say it on the error stream; a file's name in it cannot disturb the terminal."""
    lines = list(map(clean, text.split("\n")))
    if sys.stderr is not None and sys.stderr.isatty():
        width = max(shutil.get_terminal_size().columns, NARROWEST)
        lines = [in_lines(line, width) for line in lines]
    print("\n".join(lines), file=sys.stderr)
    return came_to
