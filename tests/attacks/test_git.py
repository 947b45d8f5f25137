"""No program that a repository names is started, whatever is asked of it."""

from __future__ import annotations

import ast
import gc
import hashlib
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from gonogo.commands.main import status
from gonogo.documents import git as git_module
from gonogo.documents import git_moves
from gonogo.documents.error import RevisionError
from gonogo.documents.files import LARGEST
from gonogo.documents.git import git
from gonogo.documents.git_folder import LEFT_BEHIND_S, PRIVATE, PrivateFolder, git_folder
from gonogo.documents.git_history import from_top, steps
from gonogo.documents.git_moves import moves
from gonogo.documents.git_revision import Commit, GitRevision
from hypothesis import given, settings
from hypothesis import strategies as st

from .hostile_git import GUEST, PROFILE, TRAPS, Victim, build, call

LINT = Path(__file__).parents[2] / "lint"
STORY = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune" / "before.yaml"
CALLS = {
    "check": ("check", "."),
    "diff": ("diff", PROFILE),
    "against": ("diff", "--against", "HEAD", "."),
    "revision": ("diff", f"first:{PROFILE}", PROFILE),
    "range": ("diff", "first..HEAD"),
    "index": ("diff", f"first:{PROFILE}", f":{PROFILE}"),
    "staged": ("check", "--staged"),
    "commit": ("check", "--at", "first"),
    "history": ("history", PROFILE),
    "window": ("window", PROFILE),
    "mend": ("mend", PROFILE),
    "suspect": ("suspect", PROFILE, "--against", "first"),
    "fill": ("fill", PROFILE),
}
OF_GIT = ("diff", "against", "revision", "range", "index", "staged", "commit", "history", "suspect")
DAY = ("--as-of", "2026-11-25")
COMMIT = re.compile(r"\b[0-9a-f]{7,40}\b")
pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture(scope="session")
def clean(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The repository that every test begins with."""
    top = tmp_path_factory.mktemp("clean") / "shop"
    with pytest.MonkeyPatch.context() as patch:
        _plain(patch)
        build(top, STORY.read_text("utf-8"))
    return top


@pytest.fixture
def victim(clean: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Victim]:
    """A copy of it, in which nothing stays of what git was given."""
    for name in ("elsewhere", "temporary"):
        (tmp_path / name).mkdir()
    _plain(monkeypatch)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    shutil.copytree(clean, tmp_path / "shop")
    monkeypatch.chdir(tmp_path / "shop")
    yield Victim(tmp_path / "shop", tmp_path / "elsewhere")
    gc.collect()
    assert not os.listdir(tmp_path / "temporary")


def _plain(patch: pytest.MonkeyPatch) -> None:
    patch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    patch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    for name in ("AUTHOR", "COMMITTER"):
        patch.setenv(f"GIT_{name}_NAME", "Test")
        patch.setenv(f"GIT_{name}_EMAIL", "test@example.org")
        patch.setenv(f"GIT_{name}_DATE", "2026-11-25T12:00:00Z")


Answer = tuple[int, str]


def answer(name: str, said: pytest.CaptureFixture[str]) -> Answer:
    """The status of a call and what it prints, names of commits left out."""
    words = CALLS[name]
    said.readouterr()
    came_to = status([*words, *DAY])
    printed = said.readouterr()
    return came_to, COMMIT.sub("COMMIT", printed.out + printed.err)


@pytest.fixture
def answers(victim: Victim, capsys: pytest.CaptureFixture[str]) -> dict[str, Answer]:
    """What every call says before anybody meddled with the repository."""
    told = {name: answer(name, capsys) for name in CALLS}
    assert {name: came_to for name, (came_to, _) in told.items() if came_to} == {}
    return told


def everything(folder: Path) -> dict[str, str]:
    """What git keeps, by name."""
    return {
        str(path): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.mark.parametrize("trap", TRAPS)
def test_no_program_of_a_repository_is_started(
    trap: str, victim: Victim, answers: dict[str, Answer], capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever compares a stranger's pull request runs nothing of it, and gets the right answer."""
    laid = TRAPS[trap].laid(victim)
    before = everything(victim.top / ".git")
    for name in CALLS:
        told = answer(name, capsys)
        assert victim.started() == [], name
        if laid.loses and name in OF_GIT:
            assert told[0] in (2, 3) and "the clone may be partial" in told[1], name
        elif name in ("check", "against") and trap == "a bare repository in a folder":
            assert told[0] == 3 and "guest/house.yaml" in told[1]
        else:
            assert told == answers[name], name
    assert everything(victim.top / ".git") == before


@pytest.mark.parametrize("trap", [name for name, laid in TRAPS.items() if laid.springs])
def test_the_traps_are_real(trap: str, victim: Victim) -> None:
    """Plain git does start these programs; else nothing would be shown above."""
    TRAPS[trap].laid(victim)
    for words in (("diff", "HEAD"), ("log", "-p"), ("cat-file", "-p", f"first:{PROFILE}")):
        victim.git("-c", "diff.ignoreSubmodules=none", *words, check=False)
    assert victim.started()


def test_a_folder_made_like_a_repository_is_none(victim: Victim) -> None:
    """Plain git, asked inside it, starts its programs; for us it belongs to the repository around."""
    TRAPS["a bare repository in a folder"].laid(victim)
    guest = (victim.top / GUEST).parent
    call(guest, "git", "status", check=False)
    assert "guest-monitor" in victim.started()
    found = git_folder(guest)
    assert found is not None and found.top == victim.top
    assert status(["diff", GUEST]) == 2 and status(["history", GUEST]) == 2
    assert status(["diff", "--against", "HEAD", str(guest)]) == 3
    assert victim.started() == []


@pytest.mark.parametrize("trap", TRAPS)
def test_neither_from_a_folder_inside(
    trap: str, victim: Victim, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Inside a hook too, where the environment leads git back to the repository."""
    laid = TRAPS[trap].laid(victim)
    monkeypatch.chdir(victim.top / "vehicles")
    for name in ("GIT_DIR", "GIT_COMMON_DIR"):
        monkeypatch.setenv(name, str(victim.top / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(victim.top))
    monkeypatch.setenv("GIT_EXTERNAL_DIFF", victim.program("environment"))
    monkeypatch.setenv("GIT_SSH_COMMAND", victim.program("environment"))
    profile = Path(PROFILE).name
    for words in (
        ("diff", profile),
        ("diff", "--against", "first", "."),
        ("diff", f"first:{PROFILE}", profile),
        ("history", profile),
    ):
        has_house = trap == "a bare repository in a folder" and "--against" in words
        good = (2, 3) if laid.loses else (3,) if has_house else (0,)
        assert status([*words, *DAY]) in good, words
        assert victim.started() == [], words
    capsys.readouterr()


# Calls whose `shell` is the name of one, of which a script is made; nothing is started.
NAMES_A_SHELL = ("get_completion_script",)


def test_git_is_started_in_one_place() -> None:
    """So that one reading shows how."""
    starters = {"system", "popen", "posix_spawn", "startfile", "fork", "create_subprocess_exec"}
    for path in LINT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            here = f"{path.name}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.Import | ast.ImportFrom):
                names = {getattr(node, "module", None), *(name.name for name in node.names)}
                assert "subprocess" not in names or path.name == "git.py", here
            if isinstance(node, ast.Attribute):
                is_start = node.attr in starters or node.attr.startswith(("spawn", "execv"))
                assert not is_start, here
            if isinstance(node, ast.Call) and ast.unparse(node.func) not in NAMES_A_SHELL:
                assert all(keyword.arg != "shell" for keyword in node.keywords), here


def test_only_commands_that_read_objects_are_given(victim: Victim) -> None:
    """A command that looks at files would read the settings of filters again."""
    for word in ("diff", "status", "ls-files", "fetch", "checkout"):
        with pytest.raises(ValueError, match="only read objects"):
            git(victim.top, word)


def test_git_is_told_nothing_but_what_we_say(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a folder of ours, without a word of the environment about git."""
    real = shutil.which("git")
    tools = victim.elsewhere / "bin"
    tools.mkdir()
    told = victim.elsewhere / "told"
    (tools / "git").write_text(f'#!/bin/sh\npwd > {told}\nenv >> {told}\nexec {real} "$@"\n')
    (tools / "git").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tools}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_TRACE2", str(victim.elsewhere / "trace"))
    assert git(victim.top, "rev-parse", "HEAD")
    folder, *lines = told.read_text().splitlines()
    assert Path(folder).parent == Path(tempfile.gettempdir())
    named = dict(line.split("=", 1) for line in lines if line.startswith("GIT_"))
    assert named["GIT_DIR"] == folder
    assert named["GIT_OBJECT_DIRECTORY"] == str(victim.top / ".git" / "objects")
    assert not {"GIT_CONFIG_COUNT", "GIT_TRACE2", "GIT_WORK_TREE"} & named.keys()
    assert named["GIT_CONFIG_GLOBAL"] == os.devnull and named["GIT_ALLOW_PROTOCOL"] == ""


def test_a_git_among_the_files_is_not_started(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the search path begins with."""
    shutil.copy(victim.program("git-of-theirs"), victim.top / "git")
    path = os.environ["PATH"]
    for first in (".", "", str(victim.top), str(victim.top / "vehicles" / "..")):
        monkeypatch.setenv("PATH", f"{first}{os.pathsep}{path}")
        assert status(["diff", PROFILE, *DAY]) == 0
        assert victim.started() == []
    monkeypatch.setenv("PATH", f".{os.pathsep}{victim.top}")
    with pytest.raises(RevisionError, match="not installed"):
        Commit(victim.top, "HEAD")


def test_in_a_repository_of_the_whole_disk_git_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """All programs lie in it, and nobody else's repository lies there; what is relative is not taken."""
    monkeypatch.setenv("PATH", f".{os.pathsep}{os.environ['PATH']}")
    program = git_module._program(Path("/"))
    assert os.path.isabs(program) and os.path.basename(program) == "git"


def test_a_tree_that_unfolds_without_end_is_refused(victim: Victim) -> None:
    """Ten objects can stand for a thousand million names."""
    name = victim.git("rev-parse", f"HEAD:{PROFILE}").decode().strip()
    assert _unfolding(victim, f"100644 blob {name}", levels=9)
    started = time.monotonic()
    with pytest.raises(RevisionError, match="more than"):
        Commit(victim.top, "bomb")
    assert time.monotonic() - started < git_module.LONGEST_S


def test_a_revision_of_too_many_files_is_refused(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bound holds for their number too, and one file fewer is read."""
    name = victim.git("rev-parse", f"HEAD:{PROFILE}").decode().strip()
    assert _unfolding(victim, f"100644 blob {name}", levels=3)
    monkeypatch.setattr("gonogo.documents.git_revision.MOST_PATHS", 1000)
    assert len(Commit(victim.top, "bomb").files) == 1000
    monkeypatch.setattr("gonogo.documents.git_revision.MOST_PATHS", 999)
    with pytest.raises(RevisionError, match="more than 999 files"):
        Commit(victim.top, "bomb")


def test_a_git_that_lets_us_wait_is_ended(victim: Victim, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tree without a single file unfolds in silence; a pipe among the branches never answers."""
    nothing = call(victim.top, "git", "mktree").decode().strip()
    assert _unfolding(victim, f"040000 tree {nothing}", levels=9)
    monkeypatch.setattr(git_module, "LONGEST_S", 0.5)
    with pytest.raises(RevisionError, match="no answer"):
        Commit(victim.top, "bomb")
    os.mkfifo(victim.top / ".git/refs/heads/pipe")
    with pytest.raises(RevisionError, match="no answer"):
        Commit(victim.top, "pipe")


def _unfolding(victim: Victim, leaf: str, levels: int) -> str:
    """A commit, called `bomb`, of a tree whose ten entries are one tree of ten entries and so on."""
    for _ in range(levels):
        lines = "".join(f"{leaf}\t{number}\n" for number in range(10))
        tree = call(victim.top, "git", "mktree", data=lines.encode()).decode().strip()
        leaf = f"040000 tree {tree}"
    commit = victim.git("commit-tree", "-m", "bomb", tree).decode().strip()
    victim.git("tag", "bomb", commit)
    return commit


@pytest.mark.parametrize(
    ("path", "told"),
    [
        ("HEAD", "in no git repository"),
        ("packed-refs", "is no file"),
        ("shallow", "is no file"),
        ("objects/info/alternates", "is no file"),
    ],
)
def test_a_pipe_is_not_waited_for(victim: Victim, path: str, told: str) -> None:
    """Nobody ever writes to it."""
    pipe = victim.top / ".git" / path
    pipe.unlink(missing_ok=True)
    os.mkfifo(pipe)
    with pytest.raises(RevisionError, match=told):
        Commit(victim.top, "HEAD")


def test_a_pipe_for_a_repository_is_none(victim: Victim) -> None:
    """The folder around may be one."""
    inner = victim.top / "vehicles" / ".git"
    os.mkfifo(inner)
    assert from_top(victim.top / PROFILE) == (victim.top, PROFILE)


def test_a_large_file_is_not_read_to_its_end(victim: Victim) -> None:
    """Nor does it keep the next one from being read."""
    (victim.top / "large.yaml").write_bytes(b"\0" * (64 * LARGEST))
    victim.git("add", "large.yaml")
    victim.git("commit", "--quiet", "--message", "large")
    commit = Commit(victim.top, "HEAD")
    assert commit.objects.read(commit.files["large.yaml"]) is None
    assert commit.objects.own.process is None
    assert GitRevision(commit).read("house.yaml") == b"gonogo: house/1\n"


def test_a_partial_clone_fetches_nothing(victim: Victim, tmp_path: Path) -> None:
    """What is not there is said to be missing."""
    victim.config(uploadpack__allowFilter="true")
    call(
        tmp_path, "git", "clone", "--quiet", "--no-checkout", "--filter=blob:none",
        victim.top.as_uri(), "partial",
    )  # fmt: skip
    partial = Victim(tmp_path / "partial", victim.elsewhere)
    partial.config(remote__origin__uploadpack=partial.program("fetch", "exit 1"))
    before = everything(partial.top)
    commit = Commit(partial.top, "HEAD")
    with pytest.raises(RevisionError, match="the clone may be partial"):
        GitRevision(commit).read(PROFILE)
    assert victim.started() == [] and everything(partial.top) == before
    partial.git("cat-file", "-p", f"HEAD:{PROFILE}", check=False)
    assert victim.started() == ["fetch"]


def test_a_linked_worktree_has_its_own_head(victim: Victim, tmp_path: Path) -> None:
    """Branches are shared; where it stands, and stood, is its own."""
    victim.git("worktree", "add", "--quiet", "--detach", str(tmp_path / "second"), "first")
    first, main = (victim.git("rev-parse", name).decode().strip() for name in ("first", "main"))
    for name, commit in (("HEAD", first), ("main", main), ("HEAD@{0}", first)):
        assert Commit(tmp_path / "second", name).name == commit
    assert Commit(victim.top, "HEAD@{1}").name == first


def test_long_names_replaced_ones_and_a_commit_before(victim: Victim, tmp_path: Path) -> None:
    """A repository of SHA-256, a replaced commit, and what was HEAD before a reset."""
    top = tmp_path / "long"
    top.mkdir()
    call(top, "git", "init", "--quiet", "--object-format=sha256")
    (top / "a.yaml").write_text("a: 1\n")
    call(top, "git", "add", "--all")
    call(top, "git", "commit", "--quiet", "--message", "one")
    commit = Commit(top, "HEAD")
    assert len(commit.name) == 64 and moves(commit).changed == frozenset()
    victim.git("replace", "HEAD", "first")
    assert len(steps(victim.top, PROFILE)) == 2
    victim.git("reset", "--quiet", "first")
    assert Commit(victim.top, "ORIG_HEAD").name == Commit(victim.top, "HEAD@{1}").name


def test_other_line_ends_on_the_disk_are_no_change(
    victim: Victim, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where git checks out with other line ends, the documents still say the same."""
    path = victim.top / PROFILE
    victim.git("checkout", "--quiet", ".")
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert status(["diff", "--against", "HEAD", "--format", "json", *DAY]) == 0
    assert '"comparisons": []' in capsys.readouterr().out


def test_what_a_killed_run_left_behind_is_removed(victim: Victim) -> None:
    """A day later, when nobody can be using it; a younger one may be somebody's."""
    left, young = (Path(tempfile.gettempdir(), f"{PRIVATE}{name}") for name in ("left", "young"))
    for folder in (left, young):
        folder.mkdir()
        (folder / "refs").symlink_to(victim.top / ".git" / "refs")
    day_before = time.time() - LEFT_BEHIND_S - 1
    os.utime(left, (day_before, day_before))
    Commit(victim.top, "HEAD")
    assert young.exists() and not left.exists()
    assert (victim.top / ".git/refs/heads/main").exists()
    shutil.rmtree(young)


def test_names_that_lead_out_of_a_tree_are_not_followed(victim: Victim) -> None:
    """Nor is a folder that became a link: what it leads to is not what was committed."""
    blob = victim.git("rev-parse", f"HEAD:{PROFILE}").decode().strip()
    (victim.top.parent / "out.yaml").write_bytes(victim.git("cat-file", "blob", blob))
    inner = call(victim.top, "git", "mktree", data=f"100644 blob {blob}\tout.yaml\n".encode())
    line = f"040000 tree {inner.decode().strip()}\t..\n".encode()
    tree = call(victim.top, "git", "mktree", data=line).decode().strip()
    victim.git("tag", "out", victim.git("commit-tree", "-m", "out", tree).decode().strip())
    assert moves(Commit(victim.top, "out")).gone == {"../out.yaml"}
    (victim.top / "vehicles").rename(victim.elsewhere / "vehicles")
    (victim.top / "vehicles").symlink_to(victim.elsewhere / "vehicles")
    assert moves(Commit(victim.top, "HEAD")).gone == {PROFILE}


def test_a_copy_of_the_process_leaves_the_folder_alone(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever judges many profiles at once shares the reader's folder."""
    found = git_folder(victim.top)
    assert found is not None
    private, other = PrivateFolder(found), PrivateFolder(found)
    other.remove()
    assert not other.path.exists()
    with monkeypatch.context() as patch:
        patch.setattr(os, "getpid", lambda: 0)
        private.remove()
    assert (private.path / "HEAD").exists()
    shutil.rmtree(private.path)


def test_the_checkout_of_somebody_else_can_be_read(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As servers have it; plain git refuses, since it would follow that person's settings."""
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    assert victim.git("rev-parse", "HEAD", check=False) == b""
    assert status(["diff", PROFILE, *DAY]) == 0


NAMES = st.sampled_from(["a.yaml", "b.yml", "c/a.yaml", "c/d/b.yaml", "ä ö.yaml", "e.txt"])
TREES = st.dictionaries(NAMES, st.sampled_from([b"", b"a\n", b"b\n", b"a\nb\n"]), min_size=1)


@settings(max_examples=25)
@given(before=TREES, after=TREES)
def test_what_changed_is_what_plain_git_says(
    tmp_path_factory: pytest.TempPathFactory, before: dict[str, bytes], after: dict[str, bytes]
) -> None:
    """Of documents, on a repository that nobody meddled with."""
    top = tmp_path_factory.mktemp("tree")
    call(top, "git", "init", "--quiet")
    _lay(top, before)
    call(top, "git", "add", "--all")
    person = ("-c", "user.name=Test", "-c", "user.email=test@example.org")
    call(top, "git", *person, "commit", "--quiet", "--message", "one")
    for name in before:
        (top / name).unlink()
    _lay(top, after)
    told = call(top, "git", "diff", "-z", "--name-only", "--no-renames", "HEAD")
    told += call(top, "git", "ls-files", "-z", "--others")
    names = {name for name in os.fsdecode(told).split("\0") if name.endswith((".yaml", ".yml"))}
    found = moves(Commit(top, "HEAD"))
    assert found.changed == names
    assert found.gone | set(found.former.values()) == names - after.keys()
    assert found.former.keys() <= after.keys() - before.keys()


def _lay(top: Path, files: dict[str, bytes]) -> None:
    for name, data in files.items():
        (top / name).parent.mkdir(parents=True, exist_ok=True)
        (top / name).write_bytes(data)


def test_renamed_files_are_sought_within_bounds(
    victim: Victim, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is not found within them is told as gone and as new; a whole file is found always."""
    path = victim.top / PROFILE
    renamed = path.with_name("renamed.yaml")
    path.rename(renamed)
    commit = Commit(victim.top, "HEAD")
    assert moves(commit).former == {"vehicles/renamed.yaml": PROFILE}
    lines = len(renamed.read_bytes().splitlines())
    monkeypatch.setattr(git_moves, "MOST_LINES_COMPARED", 2 * lines)
    assert moves(commit).former == {"vehicles/renamed.yaml": PROFILE}
    monkeypatch.setattr(git_moves, "MOST_LINES_COMPARED", 2 * lines - 1)
    assert moves(commit).former == {} and moves(commit).gone == {PROFILE}
    renamed.write_bytes(GitRevision(commit).read(PROFILE))
    assert moves(commit).former == {"vehicles/renamed.yaml": PROFILE}


@pytest.mark.parametrize(
    ("data", "came_to", "word"),
    [
        (b"", 3, "GONE"),
        (b"DIRC", 2, "git refuses"),
        (b"DIRC\0\0\0\2\0\0\0\1" + b"\0" * 80, 3, "GONE"),
    ],
)
def test_an_index_that_is_none_is_told(
    data: bytes, came_to: int, word: str, victim: Victim, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is judged by what cannot be read, and what the last commit has is missed in it."""
    (victim.top / ".git/index").write_bytes(data)
    assert status(["check", "--staged"]) == came_to
    told = capsys.readouterr()
    assert "defect" not in told.err and word in told.out + told.err


def test_a_pipe_for_an_index_is_not_waited_for(victim: Victim) -> None:
    """It holds nothing, so each profile of the last commit is gone from it."""
    (victim.top / ".git/index").unlink()
    os.mkfifo(victim.top / ".git/index")
    assert status(["check", "--staged"]) == 3


def test_a_submodule_that_leads_back_is_read_once(victim: Victim) -> None:
    """A repository that is its own submodule has an end."""
    commit = victim.git("rev-parse", "HEAD").decode().strip()
    for path in ("again", "../shop", "vehicles"):
        victim.git("update-index", "--add", "--cacheinfo", f"160000,{commit},{path}", check=False)
    (victim.top / "again").mkdir()
    (victim.top / "again/.git").write_text("gitdir: ../.git\n")
    victim.git("commit", "--quiet", "--message", "again", check=False)
    found = Commit(victim.top, "HEAD")
    assert f"again/{PROFILE}" in found.files and "again/again" not in found.submodules
    assert found.objects.read(found.files[f"again/{PROFILE}"])
    found.close()
