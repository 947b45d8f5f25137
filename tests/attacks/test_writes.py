"""Nothing is lost by what is written: files are whole, whoever kills, fills, links or reads them."""

from __future__ import annotations

import errno
import fcntl
import os
import random
import shutil
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from gonogo.commands.main import status
from gonogo.documents import atomic_write, fresh_file
from gonogo.documents.atomic_write import replace_whole, write
from gonogo.documents.error import EditError

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "tests" / "commands" / "bench" / "juniper.yaml"
DAY = ("--as-of", "2026-11-25")
pytestmark = pytest.mark.usefixtures("frozen")
LONGEST_NAME = "l" * 250 + ".yaml"
OLD, NEW = b"old", b"new"


@pytest.fixture(params=["unnamed", "named"])
def folder(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of a system that has files without a name, and of one that has none."""
    if request.param == "named":
        monkeypatch.setattr(fresh_file, "UNNAMED", 0)
    else:
        assert fresh_file.UNNAMED, "this system has no files without a name"
    return tmp_path


def document(folder: Path, name: str = "larch.yaml") -> Path:
    path = folder / name
    path.write_bytes(OLD)
    return path


# What belongs to a file besides its bytes.


def test_rights_and_attributes_stay(folder: Path) -> None:
    """Who may read a profile, and what an archive or a colleague noted on it, is not ours to drop."""
    path = document(folder)
    path.chmod(0o604)
    os.setxattr(path, "user.origin", b"bench 2")
    write(path, OLD, NEW)
    assert path.read_bytes() == NEW
    assert stat.S_IMODE(path.stat().st_mode) == 0o604
    assert os.getxattr(path, "user.origin") == b"bench 2"


def test_the_owner_stays(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where an administrator mends somebody's profile, it stays theirs."""
    path = document(folder)
    if os.geteuid() == 0:
        os.chown(path, 12345, 54321)
        write(path, OLD, NEW)
        assert (path.stat().st_uid, path.stat().st_gid) == (12345, 54321)
        return
    asked: list[tuple[int, int]] = []
    seen = os.fstat
    real = path.stat().st_ino

    def of_another(handle: int) -> os.stat_result:
        found = list(seen(handle))
        if found[stat.ST_INO] == real:
            found[stat.ST_UID], found[stat.ST_GID] = 12345, 54321
        return os.stat_result(found)

    monkeypatch.setattr(atomic_write.os, "fstat", of_another)
    monkeypatch.setattr(atomic_write.os, "fchown", lambda _, *who: asked.append(who))
    write(path, OLD, NEW)
    assert asked == [(12345, 54321)]


def test_what_cannot_be_kept_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that would lose its owner or a colleague's right to read it stays as it is."""

    def forbidden(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    path = document(folder)
    os.setxattr(path, "user.origin", b"bench 2")
    monkeypatch.setattr(atomic_write.os, "setxattr", forbidden)
    with pytest.raises(EditError) as caught:
        write(path, OLD, NEW)
    assert "attributes that cannot be kept" in caught.value.found
    assert path.read_bytes() == OLD
    assert os.listdir(folder) == [path.name]


def test_rights_of_a_new_file_are_those_the_user_gives_to_new_files(folder: Path) -> None:
    """A workshop that shares its files with a group finds new profiles shared as well."""
    known = os.umask(0o027)
    try:
        write(folder / "new.yaml", b"", NEW)
        replace_whole(folder / "report.txt", NEW)
    finally:
        os.umask(known)
    for name in ("new.yaml", "report.txt"):
        assert stat.S_IMODE((folder / name).stat().st_mode) == 0o640


def linked_twice(path: Path) -> None:
    os.link(path, path.with_name("other-name.yaml"))


def read_only(path: Path) -> None:
    path.chmod(0o444)


def a_link(path: Path) -> None:
    path.rename(path.with_name("elsewhere.yaml"))
    path.symlink_to("elsewhere.yaml")


@pytest.mark.parametrize(
    ("made", "answer"),
    [(linked_twice, "hard link"), (read_only, "a read-only file"), (a_link, "a link")],
)
def test_a_file_that_cannot_be_replaced_is_answered(
    made: Callable[[Path], None],
    answer: str,
    folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The other name would go on holding the old settings, and read-only is meant."""
    path = folder / "juniper.yaml"
    shutil.copy(BENCH, path)
    made(path)
    before = {entry.name: entry.read_bytes() for entry in folder.iterdir()}
    assert status(["mend", str(path), "--write", *DAY]) == 3
    said = capsys.readouterr()
    assert "Nothing was written to" in said.err and answer in said.err
    assert {entry.name: entry.read_bytes() for entry in folder.iterdir()} == before


@pytest.mark.parametrize(
    ("made", "answer"), [(linked_twice, "hard link"), (read_only, "read-only")]
)
def test_a_report_that_cannot_be_replaced_is_answered(
    made: Callable[[Path], None],
    answer: str,
    folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A report that somebody put under glass, or keeps under two names, is no less theirs."""
    path = document(folder, "report.txt")
    made(path)
    assert status(["schema", "--output", str(path)]) == 2
    assert answer in capsys.readouterr().err
    assert path.read_bytes() == OLD


# A report over a document.

HOUSE = "gonogo: house/1\nname: Bench\nrules: rules\n"
RULE = """\
id: own-ramp
severity: advice
of: settings.throttle.ramp_ms
at_least: 150
says: The throttle ramp of {of} is shorter than {limit}.
because: The machine starts with a jerk.
remedy: Set it to {limit} or more.
source: Common practice.
examples:
  - {given: {settings.throttle.ramp_ms: 150}, outcome: clear}
  - {given: {settings.throttle.ramp_ms: 140}, outcome: flagged}
"""
CALLS = {
    "check": ("check", "juniper.yaml"),
    "check many": ("check", ".", "--jobs", "2"),
    "diff": ("diff", "juniper.yaml", "juniper.yaml"),
    "window": ("window", "juniper.yaml"),
    "working": ("working", "juniper.yaml", "pack.full_V"),
    "ride": ("ride", "juniper.yaml"),
    "rehearse": ("rehearse", "juniper.yaml"),
    "rules": ("rules",),
    "schema": ("schema", "profile"),
}
SPELLINGS = {
    "its name": lambda path: str(path),
    "from here": lambda path: f"./{path.name}",
    "over another folder": lambda path: f"rules/../{path.name}",
    "whole": lambda path: str(path.absolute()),
    "a link to it": lambda path: linked(path, os.symlink),
    "a second name of it": lambda path: linked(path, os.link),
    "through a linked folder": lambda path: through_a_folder(path),
}


def linked(path: Path, link: Callable[[str, str], None]) -> str:
    link(path.name, "report.txt")
    return "report.txt"


def through_a_folder(path: Path) -> str:
    os.symlink(".", "same")
    return f"same/{path.name}"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A profile with a part, a house file and a rule of the shop."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rules").mkdir()
    text = BENCH.read_text("utf-8")
    (tmp_path / "juniper.yaml").write_text(text, "utf-8")
    (tmp_path / "house.yaml").write_text(HOUSE, "utf-8")
    (tmp_path / "rules" / "own.yaml").write_text(RULE, "utf-8")
    (tmp_path / "motor.txt").write_text(
        "# bench 2\ngonogo: part/1\nname: Hub\npart: motor\nmotor: {kv_rpm_per_V: 70}\n"
    )
    return tmp_path


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.is_symlink()
    }


@pytest.mark.parametrize("call", CALLS)
@pytest.mark.parametrize("name", ["juniper.yaml", "house.yaml", "rules/own.yaml", "motor.txt"])
def test_no_report_is_written_over_a_document(
    call: str, name: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One slip of the shell's completion would cost the profile, its part or the shop's rules."""
    before = bytes_of(shop)
    assert status([*CALLS[call], "--output", name]) == 2
    assert f"--output {name} would overwrite a document" in capsys.readouterr().err
    assert bytes_of(shop) == before


@pytest.mark.parametrize(
    "text",
    [
        pytest.param('"\\x67onogo": part/1\nmotor: {}\n', id="a key with an escape"),
        pytest.param("? gonogo\n: part/1\n", id="a key with a mark"),
        pytest.param("{motor: {}, gonogo: part/1}\n", id="brackets, its key last"),
        pytest.param("gonogo: &kind part/1\nmotor: {}\n", id="an anchor"),
    ],
)
def test_no_way_of_writing_gets_round_that(
    text: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A part may be called as its builder likes, and be written in any way of YAML."""
    (shop / "motor.txt").write_text(text, "utf-8")
    assert status(["schema", "profile", "--output", "motor.txt"]) == 2
    assert "would overwrite a document" in capsys.readouterr().err
    assert (shop / "motor.txt").read_text("utf-8") == text


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_no_other_spelling_of_its_name_gets_round_that(
    spelling: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It is the file that counts, not what it is called: a disk may know no capitals either."""
    output = SPELLINGS[spelling](Path("juniper.yaml"))
    before = bytes_of(shop)
    assert status(["check", "juniper.yaml", "--output", output]) == 2
    assert "would overwrite a document" in capsys.readouterr().err
    assert bytes_of(shop) == before


@pytest.mark.parametrize(
    ("name", "text"),
    [
        pytest.param("notes.txt", "not a profile at all", id="whatever is asked for by its name"),
        pytest.param("broken.YAML", "pack: [", id="one that is broken"),
        pytest.param("wide.txt", "gonogo: profile/1\n", id="one in another encoding"),
    ],
)
def test_what_is_no_good_document_is_still_somebodys_file(
    name: str, text: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A profile full of mistakes is what its builder wants to mend, not to lose."""
    path = shop / name
    path.write_text(text, "utf-16" if name == "wide.txt" else "utf-8")
    before = path.read_bytes()
    assert status(["check", name, "--output", name]) == 2
    assert "would overwrite a document" in capsys.readouterr().err
    assert path.read_bytes() == before


@pytest.mark.parametrize("form", ["text", "json", "markdown", "html", "sarif", "junit", "lines"])
def test_a_former_report_is_replaced(form: str, shop: Path) -> None:
    """A build writes the same report again and again, also one that quotes a document."""
    (shop / "worse.yaml").write_text("gonogo: profile/2\nvehicle: {name: Worse}\n", "utf-8")
    call = ["check", ".", "--format", form, "--output", "report", *DAY]
    assert [status(call), status(call)] == [3, 3]
    assert (shop / "report").stat().st_size > 100


# Two who write at once.


def test_a_file_that_another_run_is_writing_is_answered(folder: Path) -> None:
    """The second of two is told; neither's work is lost."""
    path = document(folder)
    with open(path, "rb") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        with pytest.raises(EditError) as caught:
            write(path, OLD, NEW)
    assert caught.value.found == "a file that another run is writing"
    assert path.read_bytes() == OLD
    write(path, OLD, NEW)
    assert path.read_bytes() == NEW


def saved_in_place(path: Path) -> None:
    path.write_bytes(b"mine")


def saved_anew(path: Path) -> None:
    path.with_name("draft").write_bytes(b"mine")
    os.replace(path.with_name("draft"), path)


@pytest.mark.parametrize("saved", [saved_in_place, saved_anew])
def test_what_an_editor_saves_at_the_last_moment_stays(
    saved: Callable[[Path], None], folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file is looked at once more when all else is done."""
    path = document(folder)
    keep = atomic_write._keep

    def late(*which: object) -> None:
        keep(*which)  # type: ignore[arg-type]
        saved(path)

    monkeypatch.setattr(atomic_write, "_keep", late)
    with pytest.raises(EditError) as caught:
        write(path, OLD, NEW)
    assert caught.value.found == "a file that somebody changed since it was read"
    assert path.read_bytes() == b"mine"
    assert os.listdir(folder) == [path.name]


def test_a_new_file_never_takes_the_place_of_one_that_came_meanwhile(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two who begin the same profile: one of them is told."""
    path = folder / "larch.yaml"
    sweep = atomic_write.remove_left_behind

    def late(where: Path) -> None:
        sweep(where)
        path.write_bytes(b"mine")

    monkeypatch.setattr(atomic_write, "remove_left_behind", late)
    with pytest.raises(EditError) as caught:
        write(path, b"", NEW)
    assert caught.value.found == "a file that somebody changed since it was read"
    assert path.read_bytes() == b"mine"


def test_where_there_are_no_second_names_a_new_file_is_written_all_the_same(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a memory stick, whose file system knows no hard links."""
    linking = os.link

    def none(source: str, name: str, **folders: int) -> None:
        if not str(name).endswith(fresh_file.OWN_ENDING):
            raise PermissionError(errno.EPERM, "Operation not permitted")
        linking(source, name, **folders)

    monkeypatch.setattr(fresh_file.os, "link", none)
    write(folder / "larch.yaml", b"", NEW)
    assert bytes_of(folder) == {"larch.yaml": NEW}


CONTENDER = """
import sys
from pathlib import Path
from gonogo.documents.atomic_write import write
from gonogo.documents.error import EditError
path, letter, told = Path(sys.argv[1]), sys.argv[2].encode(), 0
done = 0
while done < 25:
    before = path.read_bytes()
    try:
        write(path, before, before + letter)
        done += 1
    except EditError:
        told += 1
print(told)
"""


def test_of_two_writers_neither_loses_a_word(tmp_path: Path) -> None:
    """Each adds twenty-five letters to what it read; all fifty must be there in the end."""
    path = document(tmp_path)
    writers = [
        subprocess.Popen([sys.executable, "-c", CONTENDER, path, letter], stdout=subprocess.PIPE)
        for letter in "ab"
    ]
    for writer in writers:
        writer.communicate(timeout=120)
        assert writer.returncode == 0
    assert sorted(path.read_bytes()) == sorted(OLD + b"a" * 25 + b"b" * 25)


# Kills, full disks, long names.

WRITER = """
import sys
from pathlib import Path
from gonogo.documents import fresh_file
from gonogo.documents.atomic_write import write
if sys.argv[2] == "named":
    fresh_file.UNNAMED = 0
path = Path(sys.argv[1])
texts = (b"a" * 200_000, b"b" * 200_000)
print("begun", flush=True)
while True:
    before = path.read_bytes()
    write(path, before, texts[before == texts[0]])
"""
KILLS = 12


@pytest.mark.parametrize("way", ["unnamed", "named"])
@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP, signal.SIGKILL])
def test_a_killed_run_leaves_a_whole_file_and_nothing_else(
    way: str, ending: signal.Signals, tmp_path: Path
) -> None:
    """A build that runs out of time ends its jobs just so, at any moment."""
    path = tmp_path / "larch.yaml"
    path.write_bytes(b"a" * 200_000)
    chance = random.Random(f"{way} {ending}")
    for _ in range(KILLS):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, path, way],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        assert writer.stdout is not None and writer.stdout.readline() == b"begun\n"
        time.sleep(chance.uniform(0, 0.05))
        writer.send_signal(ending)
        try:
            writer.wait(timeout=60)
        finally:
            writer.kill()  # one that a signal does not end would write for ever
            writer.stdout.close()
        assert writer.returncode != 0
        assert path.read_bytes() in (b"a" * 200_000, b"b" * 200_000)
        if ending != signal.SIGKILL:
            assert os.listdir(tmp_path) == [path.name]
    write(path, path.read_bytes(), NEW)
    assert os.listdir(tmp_path) == [path.name]


def test_what_a_killed_run_left_is_removed_by_the_next(folder: Path) -> None:
    """But not what another run is writing, nor a file or link that is only called alike."""
    left = [
        folder / f"{fresh_file.OWN_PREFIX}{number:016x}{fresh_file.OWN_ENDING}"
        for number in range(3)
    ]
    left[0].write_bytes(b"left behind")
    left[1].write_bytes(b"being written")
    (folder / "kept").write_bytes(b"somebody's")
    left[2].symlink_to("kept")
    alike = folder / f"{fresh_file.OWN_PREFIX}notes{fresh_file.OWN_ENDING}"
    alike.write_bytes(b"somebody's")
    with open(left[1], "rb") as other:
        fcntl.flock(other, fcntl.LOCK_EX)
        write(folder / "larch.yaml", b"", NEW)
    assert [path.exists() for path in (*left, alike)] == [False, True, True, True]


def test_the_longest_name_is_written(folder: Path) -> None:
    """A name may have 255 bytes; ours beside it is short."""
    path = folder / LONGEST_NAME
    write(path, b"", OLD)
    write(path, OLD, NEW)
    replace_whole(path, b"a report")
    assert bytes_of(folder) == {LONGEST_NAME: b"a report"}


def test_a_name_too_long_is_answered(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As what it is, not as a defect of ours."""
    path = folder / f"l{LONGEST_NAME}"
    assert status(["schema", "--output", str(path)]) == 2
    assert "name too long" in capsys.readouterr().err


LIMITED = """
import resource, sys
from gonogo.commands.main import status
from gonogo.documents import fresh_file
if sys.argv[1] == "named":
    fresh_file.UNNAMED = 0
resource.setrlimit(resource.RLIMIT_FSIZE, (300, 300))
sys.exit(status(sys.argv[2:]))
"""


@pytest.mark.parametrize("way", ["unnamed", "named"])
@pytest.mark.parametrize(
    "call",
    [
        pytest.param(("mend", "juniper.yaml", "--write", *DAY), id="a profile"),
        pytest.param(("schema", "profile", "--output", "report.json"), id="a report"),
    ],
)
def test_a_full_disk_costs_nothing(way: str, call: tuple[str, ...], tmp_path: Path) -> None:
    """The old file stays whole, the run says so, and no half of a new one lies about."""
    shutil.copy(BENCH, tmp_path / "juniper.yaml")
    (tmp_path / "report.json").write_bytes(OLD)
    before = bytes_of(tmp_path)
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, way, *call],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (2, 3)
    assert "file too large" in done.stderr and "Traceback" not in done.stderr
    assert bytes_of(tmp_path) == before


def test_a_folder_that_may_not_be_written_is_named_as_the_cause(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who may write the file but not its folder would look for the mistake in the wrong place."""
    path = document(folder)
    opening = os.open

    def forbidden(name: object, flags: int, rights: int = 0o777) -> int:
        if flags & (fresh_file.UNNAMED | os.O_CREAT) and name != path:
            raise PermissionError(errno.EACCES, "Permission denied")
        return opening(name, flags, rights)  # type: ignore[arg-type]

    monkeypatch.setattr(fresh_file.os, "open", forbidden)
    with pytest.raises(EditError) as caught:
        write(path, OLD, NEW)
    assert "a folder that may not be written" in caught.value.found


# A reader who has gone away.

PIPED = {
    **CALLS,
    "help": ("--help",),
    "version": ("--version",),
    "nothing": (),
    "help of one": ("check", "--help"),
    "mend": ("mend", "juniper.yaml"),
    "fill": ("fill", "juniper.yaml"),
    "a rule": ("rules", "battery-current-above-cells"),
    "to the pipe by name": ("schema", "profile", "--output", "/dev/stdout"),
    "json": ("check", ".", "--format", "json"),
}


@pytest.mark.parametrize("call", PIPED)
def test_a_reader_who_has_gone_away_is_no_trouble(call: str, shop: Path) -> None:
    """`| head -1` ends quietly, whatever was asked."""
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "gonogo", *PIPED[call]],
            cwd=shop,
            stdout=closed,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.stderr == ""
    assert done.returncode in (0, 1, 2, 4)
