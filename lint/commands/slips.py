"""Slips at the shell: a word without its dashes, two paths in one, two arguments in the other's place.

A hint is followed. So a name is offered only where it is the asked one but for a slip of the finger;
of one that is only a word of other names those are told.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from ..documents.error import UsageError
from ..documents.text import alternatives, nearest

LONG_DASHES = "\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{FIGURE DASH}\N{EN DASH}\N{EM DASH}\N{HORIZONTAL BAR}\N{MINUS SIGN}"
YAML_ENDINGS = (".yaml", ".yml")
NEARLY_THE_SAME = 0.8  # of two names that are one but for a slip, so much is the same
LEAST_TORN = 3  # arguments: a path, and two words of one name
MOST_TOLD = 5  # names
MOST_WORDS = 5  # of a file's name that was not put in quotes
# The commands whose arguments are documents that are there, and the options of those whose words stand alone.
OF_DOCUMENTS = ("check", "diff", "history", "fill", "mend", "due", "waivers")
STAGE_WORDS = ("stand", "ride")
_UNQUOTED = re.compile(r"[\w ./,+()-]+")


def refuse_long_dashes(arguments: Sequence[str]) -> None:
    """Refuse an option behind a dash that a text editor made of two."""
    for argument in arguments:
        option = argument.lstrip(f"-{LONG_DASHES}")
        is_long = not set(LONG_DASHES).isdisjoint(argument[:2])
        if is_long and option[:1].isalpha() and not os.path.lexists(argument):
            dashes = "--" if option[1:2].isalpha() else "-"
            raise UsageError(f"{argument} begins with a long dash. Did you mean {dashes}{option}?")


def refuse_broken_paths(command: str, arguments: Sequence[str]) -> None:
    """Refuse two paths tied by a comma, and one path that its blanks broke into several."""
    if command not in (*OF_DOCUMENTS, "window", "working", "enter", "sheet"):
        return
    for place, argument in enumerate(arguments):
        if argument.startswith("-") or os.path.lexists(argument):
            continue
        pieces = [piece.strip() for piece in re.split("[,;]", argument) if piece.strip()]
        if len(pieces) > 1 and all(_is_a_path(piece) for piece in pieces):
            said = " ".join(map(_shown, pieces))
            raise UsageError(f"{argument} is no file. With blanks between the paths it is: {said}")
        before = _words_before(arguments[:place])
        for count in range(len(before)):
            words = [*before[count:], argument]
            whole = " ".join(words)
            if os.path.lexists(whole) or (argument.endswith(YAML_ENDINGS) and _is_torn(words)):
                raise UsageError(
                    f"{' and '.join(words)} are {len(words)} arguments. A file's name with blanks in it "
                    f"stands in quotes: {_shown(whole)}"
                )


def _words_before(arguments: Sequence[str]) -> list[str]:
    """The words that an argument may have been torn from: those right before it that are no options."""
    words: list[str] = []
    for word in reversed(arguments[-MOST_WORDS:]):
        if word.startswith("-") or word.endswith(YAML_ENDINGS):
            break
        words.insert(0, word)
    if len(words) < len(arguments) and arguments[-len(words) - 1].startswith("--"):
        return words[1:]  # the first may be the option's
    return words


def _is_torn(words: Sequence[str]) -> bool:
    return not any(os.path.lexists(word) or ":" in word for word in words)


def _is_a_path(piece: str) -> bool:
    return piece.endswith(YAML_ENDINGS) or os.path.lexists(piece)


def _shown(path: str) -> str:
    """A path as it is typed at a shell, whatever its name holds."""
    if _UNQUOTED.fullmatch(path):
        return f'"{path}"' if " " in path else path
    import shlex

    return shlex.quote(path)


def refuse_bare_options(
    command: str, arguments: Sequence[str], options: Mapping[str, bool]
) -> None:
    """Refuse a word that is no document, but is an option's name or value.

    `options` says of each, such as `--stage`, whether a value follows it.
    """
    if command not in OF_DOCUMENTS:
        return
    for place, word in enumerate(arguments):
        if word.startswith("-"):
            told = no_such_option(word, [word], options) if word[2:] else None
            if told:
                raise UsageError(told)
            continue
        before = arguments[place - 1] if place else ""
        if before.startswith("--") and options.get(before, "=" not in before):
            continue  # it may be that option's value
        meant = None if os.path.lexists(word) else _option(word, arguments[place + 1 :], options)
        if meant:
            raise UsageError(f"{word} is no file. Did you mean {meant}?")


def _option(word: str, after: Sequence[str], options: Mapping[str, bool]) -> str | None:
    """What a word without its dashes was to be, its value with it."""
    name, _, value = word.partition("=")
    option = f"--{name}"
    if option in options:
        follows = value or next((one for one in after[:1] if not _is_a_path(one)), "")
        return f"{option} {follows}" if options[option] and follows else option
    if "--stage" in options and word in STAGE_WORDS:
        return f"--stage {word}"
    if "--format" in options:
        from .formats import FORMATS

        if word in FORMATS:
            return f"--format {word}"
    if "--setting" in options and _is_key(word):
        return f"--setting {word}"
    return None


def refuse_swapped(command: str, path: Path, name: str | None) -> None:
    """Refuse a name where the profile should stand, be the profile behind it or nowhere."""
    first = str(path)
    if os.path.lexists(path):
        return
    if name is not None and _is_a_path(name):
        if not first.endswith(YAML_ENDINGS):
            raise UsageError(
                f"{first} is no file: the profile stands first. "
                f"Did you mean gonogo {command} {_shown(name)} {_shown(first)}?"
            )
    elif name is None and _is_key(first):
        raise UsageError(f"{first} is no file; expected gonogo {command} PROFILE {first}.")


def refuse_torn_names(command: str, arguments: Sequence[str]) -> None:
    """Refuse the words of a name that blanks part, where they are those of one setting or quantity alone."""
    if command not in ("window", "working") or len(arguments) < LEAST_TORN:
        return
    path, *words = arguments[: MOST_WORDS + 1]
    end = next((at for at, word in enumerate(words) if word.startswith("-")), len(words))
    words = words[:end]
    if len(words) < LEAST_TORN - 1 or not _is_a_path(path):
        return
    from ..documents.schema import properties

    names = [name for name in properties() if name.startswith("settings.")]
    if command == "working":
        from ..expressions.names import vocabulary

        names = [*properties(), *vocabulary()]
    torn = "_".join(words).lower()
    plain = {name: f"_{name.lower().replace('.', '_')}" for name in dict.fromkeys(names)}
    meant = [name for name in plain if plain[name].endswith(f"_{torn}")] or with_words(torn, names)
    tails = {name.rpartition(".")[2] for name in meant}
    if len(tails) == 1:
        least, tail = min(meant, key=_depth), tails.pop()
        shown = tail if command == "window" and tail.lower() == torn else least
        raise UsageError(
            f"{' '.join(words)} are {len(words)} arguments. "
            f"Did you mean gonogo {command} {_shown(path)} {shown}?"
        )


def _is_key(word: str) -> bool:
    from ..documents.schema import properties

    return any(f".{path}".endswith(f".{word}") for path in properties())


def no_such_option(word: str, arguments: Sequence[str], options: Iterable[str]) -> str | None:
    """What is said of an option with one dash; None where it has two.

    >>> no_such_option("-s", ["-stage", "stand"], ["--stage", "--strict"])
    '-stage has one dash. Did you mean --stage?'
    """
    typed = next((one for one in arguments if one.startswith(word)), word)
    if typed.startswith("--"):
        return None
    name = typed[1:].partition("=")[0]
    names = [option[2:] for option in options if option.startswith("--")]
    meant = meant_by(name, names) if name[1:] else [one for one in names if one[0] == name.lower()]
    if not meant:
        return None
    said = "has one dash" if name[1:] else "is no option"
    return f"{typed} {said}. Did you mean {alternatives([f'--{one}' for one in meant])}?"


def meant_by(asked: str, names: Iterable[str]) -> list[str]:
    """The names that the asked one is but for a slip, compared as far as it was typed.

    >>> meant_by("max_rpn", ["settings.max_rpm", "settings.regen.stop_V"])
    ['settings.max_rpm']
    >>> meant_by("settings.settings", ["settings.regen"])
    []
    """
    length = asked.count(".") + 1
    tails: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        tails.setdefault(".".join(name.split(".")[-length:]), []).append(name)
    near = nearest(asked, tails)
    if near is None:
        return []
    own, others = (text.rpartition(".")[2].lower() for text in (asked, near))
    like = min(_likeness(asked.lower(), near.lower()), _likeness(own, others))
    return sorted(tails[near], key=_depth) if like >= NEARLY_THE_SAME else []


def _depth(name: str) -> int:
    return name.count(".")


def _likeness(a: str, b: str) -> float:
    return SequenceMatcher(None, a, b).ratio()


def with_words(asked: str, names: Iterable[str]) -> list[str]:
    """The names in which all words of the asked one stand.

    >>> with_words("battery", ["pack.sag_V", "settings.battery_current_A"])
    ['settings.battery_current_A']
    """
    words = set(_words(asked))
    return [name for name in dict.fromkeys(names) if words and words.issubset(_words(name))]


def _words(name: str) -> Iterator[str]:
    return filter(None, re.split(r"[\W_]+", name.lower()))


def hint(asked: str, names: Iterable[str], otherwise: str) -> str:
    """What is said behind "no such name": what was meant, the names with that word, or the way to all."""
    names = list(names)
    held = with_words(asked, names)
    meant = held if len(held) == 1 else [] if held else meant_by(asked, names)
    if meant:
        return f"Did you mean {alternatives(meant[:MOST_TOLD])}?"
    if held:
        more = len(held) - MOST_TOLD
        rest = f" and {more} more" if more > 0 else ""
        return f"With {asked} in their names: {', '.join(held[:MOST_TOLD])}{rest}. {otherwise}"
    return otherwise


def options_of(command: Any) -> dict[str, bool]:
    """The options of a command, and whether a value follows each."""
    return {
        name: not getattr(option, "is_flag", False)
        for option in command.params
        for name in option.opts
        if name.startswith("-")
    }
