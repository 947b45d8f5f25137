"""`gonogo help`: topics to read on the terminal, the keys of a profile, and what a key means."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.motors import MOTORS
from ..documents.schema import properties
from ..judgement.catalogue import catalogue
from ..reports.section import Card, Code, Line, Passage, Report, Section, Table
from ..reports.topic import TOPICS, inline, title_of_topic, topic_page, topic_text
from .formats import TOPIC_FORMATS, known_format, page_as
from .main import COMMANDS, application
from .options import Output, format_option
from .output import GO, deliver, page_for
from .slips import hint, meant_by

KEYS = "keys"
WHERE = "`gonogo help` lists the topics, `gonogo help keys` the keys."
# Words that a reader looks for, and the topics that explain them.
OTHER_TOPICS = {
    **dict.fromkeys(
        ("house", "house.yaml", "retired", "gone", "shops", "severities", "allowances"), "shop"
    ),
    **dict.fromkeys(("hook", "hooks", "staged", "ci"), "automation"),
}
_TITLE = "What to read"
_HOW = (
    "`gonogo help TOPIC` shows one. `gonogo help COMMAND` shows a command's options, and"
    " `gonogo help KEY` explains a key, such as `pack.series`."
)


def run(
    name: str | None = None,
    form: str = "text",
    output: Path | None = None,
    out: TextIO | None = None,
    every: bool = False,
) -> int:
    """Show a topic, the keys or some of them, or list the topics."""
    known_format(form, TOPIC_FORMATS)
    page = page_for(output, out)
    if name in TOPICS and form == "markdown":
        text = topic_text(str(name))
    else:
        text = page_as(form, _asked(name, every or form != "text"), page)
    deliver(text, output, out)
    return GO


def _asked(name: str | None, every: bool) -> Report:
    if name is None:
        return _contents()
    if name in TOPICS:
        return _with_usage(topic_page(topic_text(name)), name)
    from ..reports.keys import keys_page, keys_under, keys_with

    if name == KEYS:
        return keys_page(every)
    found = keys_under(name) or keys_under(_as_written(name))
    if found is None and name.lower() in OTHER_TOPICS:
        return _asked(OTHER_TOPICS[name.lower()], every)
    if found is None and name not in catalogue().rules and not meant_by(name, TOPICS):
        found = keys_with(name)
    if found is None:
        raise UsageError(_unknown_topic(name))
    return found


def _with_usage(page: Report, name: str) -> Report:
    """A topic's page; of one that has a command's name also where the command's options are told."""
    if name not in COMMANDS:
        return page
    words = inline(f"`gonogo {name} --help` shows the usage and the options of the command.")
    first, *others = page.cards
    usage = Section("", (Passage(words),))
    cards = (first._replace(sections=(usage, *first.sections)), *others)
    return page._replace(cards=cards)


def _as_written(name: str) -> str:
    """A key or section in capitals and small letters as the schema has it."""
    paths = {path.lower(): path for path in properties()}
    paths |= {path.rpartition(".")[2].lower(): path.rpartition(".")[2] for path in paths.values()}
    return paths.get(name.lower(), name.lower())


def _contents() -> Report:
    """What there is to read, in the order in which a newcomer needs it."""
    rows: list[tuple[Line, ...]] = [((Code(name),), (title_of_topic(name),)) for name in TOPICS]
    rows.insert(
        2, ((Code(KEYS),), ("Keys: every entry of a profile, what a first ride needs first",))
    )
    table = Table(("topic", "about"), tuple(rows), labels=False, headed=True)
    return Report(
        _TITLE, (Card("", "bold", _TITLE, sections=(Section("", (table, Passage(inline(_HOW)))),)),)
    )


def _unknown_topic(name: str) -> str:
    """That there is nothing of that name to read, and what was probably meant."""
    if name in catalogue().rules:
        return f"{name} is a rule: `gonogo rules {name}` explains it."
    if name == MOTORS:
        return f"{MOTORS} is explained in a topic: `gonogo help profile`."
    topics = (*TOPICS, KEYS, *COMMANDS)
    names, others = (properties(), topics) if "." in name else (topics, properties())
    known = names if meant_by(name, names) else others
    return f"No topic is called {name or 'nothing'}. {hint(name, known, WHERE)}"


def command(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="[TOPIC]", show_default=False, help="Topic, command or key, such as findings."
        ),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="With keys: explain each in full.")] = False,
    form: Annotated[str, format_option(TOPIC_FORMATS)] = "text",
    output: Output = None,
) -> int:
    """Read about a topic, a command or a key.

    Without a name: what there is to read. `keys` lists every entry of a profile.
    """
    if name in COMMANDS and name not in TOPICS:
        application((name,))(args=[name, "--help"], prog_name="gonogo", standalone_mode=False)
        return GO
    return run(name, form, output, every=every)
