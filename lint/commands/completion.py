"""`gonogo completion`: what a shell completes at the Tab key, installed with one command.

Only names of our own are completed, never one out of a file: a shell evaluates what it is answered.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Annotated, Any, NamedTuple, TextIO

import typer

from ..documents.atomic_write import replace_whole
from ..documents.error import UsageError
from ..documents.fresh_file import reason_of
from ..documents.text import clean
from .output import GO, deliver

PROGRAM = "gonogo"
COMPLETE = "_GONOGO_COMPLETE"  # in the environment: a shell asks, and nobody else
WORDS_SO_FAR = ("COMP_WORDS", "_TYPER_COMPLETE_ARGS")
WRITTEN_BY = f"# Written by `{PROGRAM} completion`"


class Shell(NamedTuple):
    """Where a shell looks for completions: a file below a folder that a variable may move.

    `last` ends the script, `needs` is what has to be there besides.
    """

    variable: str
    usually: str
    file: str
    last: str
    needs: str


SHELLS = {
    "bash": Shell(
        "XDG_DATA_HOME",
        "~/.local/share",
        f"bash-completion/completions/{PROGRAM}",
        "",
        "bash reads it if the package bash-completion is installed.",
    ),
    "zsh": Shell(
        "ZDOTDIR",
        "~",
        f".zfunc/_{PROGRAM}",
        '_gonogo_completion "$@"',  # the first call only defines it
        "zsh reads it if your .zshrc has this, before anything else about completion:\n"
        "   fpath+=({folder}); autoload -Uz compinit; compinit",
    ),
    "fish": Shell("XDG_CONFIG_HOME", "~/.config", f"fish/completions/{PROGRAM}.fish", "", ""),
}


def run(
    shell: str | None = None, show: bool = False, remove: bool = False, out: TextIO | None = None
) -> int:
    """Write the completion of a shell into the user's folder for it, print it, or remove it."""
    name = _shell_named(shell)
    if show:
        text = script(name)
    else:
        place = place_of(name)
        text = _removed(place) if remove else _installed(name, place)
    deliver(text, None, out)
    return GO


def _shell_named(asked: str | None) -> str:
    name = asked or os.path.basename(os.environ.get("SHELL", ""))
    if name not in SHELLS:
        found = f"shell {name}" if asked else "no shell of those that are known"
        raise UsageError(f"{found}: expected {PROGRAM} completion bash, zsh or fish.")
    return name


def place_of(name: str) -> Path:
    """The file that a shell completes from, in the user's own folder."""
    shell = SHELLS[name]
    moved = os.environ.get(shell.variable, "")
    folder = moved if os.path.isabs(moved) else os.path.expanduser(shell.usually)
    if not os.path.isabs(folder):
        raise UsageError("No home folder is known; --show prints the script.")
    return Path(folder) / shell.file


def script(name: str) -> str:
    """What the shell reads; the text is typer's, who answers it at the Tab key too."""
    from typer._completion_shared import get_completion_script  # late: of no other command

    told = get_completion_script(prog_name=PROGRAM, complete_var=COMPLETE, shell=name)
    end = f"{WRITTEN_BY}; `{PROGRAM} completion {name} --remove` removes it."
    return "\n".join(line for line in (told, SHELLS[name].last, end) if line) + "\n"


def _installed(name: str, place: Path) -> str:
    _refuse_foreign(place)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        replace_whole(Path(os.path.realpath(place)), script(name).encode())
    except OSError as trouble:
        raise UsageError(f"{place} cannot be written: {reason_of(trouble)}.") from trouble
    lines = [f"Written: {place}", f"To undo it: {PROGRAM} completion {name} --remove"]
    needs = SHELLS[name].needs.format(folder=place.parent)
    lines += [needs] if needs else []
    if shutil.which(PROGRAM) is None:
        lines.append(f"{PROGRAM} is not on the PATH; the shell completes it once it is.")
    lines.append("A new shell completes.")
    return "".join(f" {clean(line)}\n" for text in lines for line in text.split("\n"))


def _removed(place: Path) -> str:
    if not os.path.lexists(place):
        return f" Nothing to remove: {clean(str(place))} is not there.\n"
    _refuse_foreign(place)
    try:
        place.unlink()
    except OSError as trouble:
        raise UsageError(f"{place} cannot be removed: {reason_of(trouble)}.") from trouble
    return f" Removed: {clean(str(place))}\n"


def _refuse_foreign(place: Path) -> None:
    """Raise UsageError for a file that somebody else has put there."""
    try:
        told = place.read_text("utf-8", "replace") if os.path.lexists(place) else WRITTEN_BY
    except OSError as trouble:
        raise UsageError(f"{place} cannot be read: {reason_of(trouble)}.") from trouble
    if WRITTEN_BY not in told:
        raise UsageError(f"{place} is not from `{PROGRAM} completion`, and is left alone.")


def completed(application: Callable[[Sequence[str]], Any], commands: Sequence[str]) -> int:
    """Answer a shell at the Tab key; only the command that stands there is read."""
    from typer._completion_classes import completion_init

    completion_init()
    words = next((os.environ[name] for name in WORDS_SO_FAR if name in os.environ), "").split()
    named = [name for name in words[1:2] if name in commands]
    try:
        application(named or commands)(args=[], prog_name=PROGRAM, standalone_mode=False)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 0
    return 0


def setting_names() -> list[str]:
    """The settings as `gonogo window` takes them."""
    from ..documents.schema import canonical

    below = "settings."
    return [name.removeprefix(below) for name in canonical() if name.startswith(below)]


def quantity_names() -> list[str]:
    """All that can be calculated or entered."""
    from ..expressions.names import vocabulary

    return list(vocabulary())


def rule_ids() -> list[str]:
    """The rules that come with gonogo."""
    from ..judgement.catalogue import catalogue

    return list(catalogue().rules)


def shell_names() -> list[str]:
    """The shells that are known."""
    return list(SHELLS)


def command(
    shell: Annotated[
        str | None,
        typer.Argument(
            metavar="[SHELL]",
            show_default=False,
            help="bash, zsh or fish; default the one in the variable SHELL.",
            autocompletion=shell_names,
        ),
    ] = None,
    show: Annotated[
        bool, typer.Option("--show", help="Print the script and write nothing.")
    ] = False,
    remove: Annotated[bool, typer.Option("--remove", help="Remove what was written.")] = False,
) -> int:
    """Let the shell complete commands and names.

    Writes one file into your shell's own folder for completions, says where, and how to undo it.
    """
    return run(shell, show, remove)
