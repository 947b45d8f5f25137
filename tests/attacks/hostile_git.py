"""Repositories whose settings start programs: each lays one trap, and says what plain git does."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

PROFILE = "vehicles/foxglove.yaml"
GUEST = "vehicles/guest/guest.yaml"
BEFORE = "battery_current_A: 75"
AFTER = "battery_current_A: 78"


def call(folder: Path, *words: str, check: bool = True, data: bytes = b"") -> bytes:
    """What a program prints that the test itself starts."""
    done = subprocess.run(words, cwd=folder, check=check, input=data, capture_output=True)
    return done.stdout


@dataclass(frozen=True)
class Victim:
    """A shop with a profile that was changed since its second commit; `first` is the other one."""

    top: Path
    elsewhere: Path

    def git(self, *words: str, check: bool = True) -> bytes:
        return call(self.top, "git", *words, check=check)

    def program(self, label: str, body: str = "exit 0") -> str:
        """A program that leaves a word behind when it is started."""
        path = self.elsewhere / f"{label}.sh"
        path.write_text(f"#!/bin/sh\necho {label} >> '{self.elsewhere}/started'\n{body}\n")
        path.chmod(0o755)
        return str(path)

    def started(self) -> Sequence[str]:
        """The programs that were started since it was asked last, or since the trap was laid."""
        told = self.elsewhere / "started"
        words = told.read_text().split() if told.exists() else []
        told.unlink(missing_ok=True)
        return sorted(set(words))

    def config(self, **pairs: str) -> None:
        """Settings of the repository; `__` stands for a dot."""
        for key, value in pairs.items():
            name = key.replace("__", ".")
            call(self.top, "git", "config", "--file", ".git/config", "--add", name, value)

    def attributes(self, path: str, text: str) -> None:
        (self.top / path).parent.mkdir(exist_ok=True)
        (self.top / path).write_text(text)

    def touch(self) -> None:
        """Make git look at every file again."""
        for path in self.top.rglob("*.yaml"):
            os.utime(path, (1, 1))

    def lose(self) -> None:
        """Take away both older versions of the profile, as a partial clone has none."""
        for revision in ("HEAD", "first"):
            name = self.git("rev-parse", f"{revision}:{PROFILE}").decode().strip()
            (self.top / ".git/objects" / name[:2] / name[2:]).unlink()


def build(top: Path, profile: str) -> None:
    """The repository before anybody meddled with it."""
    (top / "vehicles").mkdir(parents=True)
    (top / "house.yaml").write_text("gonogo: house/1\n")
    path = top / PROFILE
    path.write_text(profile)
    call(top, "git", "init", "--quiet", "--initial-branch=main")
    for message, text in (("one", profile), ("two", profile.replace(BEFORE, AFTER))):
        path.write_text(text)
        call(top, "git", "add", "--all")
        call(top, "git", "commit", "--quiet", "--message", message)
        if message == "one":
            call(top, "git", "tag", "first")
    path.write_text(profile.replace(BEFORE, AFTER.replace("78", "79")))


def filtered(key: str, body: str, source: str) -> Callable[[Victim], None]:
    """A filter that git runs over the files of the working tree."""

    def lay(victim: Victim) -> None:
        victim.config(**{f"filter__x__{key}": victim.program(f"filter-{key}", body)})
        victim.attributes(source, "*.yaml filter=x\n")
        if source == ".git/attributes":
            victim.config(core__attributesFile=str(victim.top / source))
        victim.touch()

    return lay


def included(victim: Victim) -> None:
    clean = victim.program("included", "cat")
    (victim.top / ".git/more").write_text(f'[filter "x"]\n\tclean = {clean}\n')
    victim.config(include__path="more")
    victim.attributes(".git/info/attributes", "*.yaml filter=x\n")
    victim.touch()


def monitored(victim: Victim) -> None:
    victim.config(core__fsmonitor=victim.program("monitor", "exit 1"))


def hooks_elsewhere(victim: Victim) -> None:
    hooks = victim.elsewhere / "hooks"
    hooks.mkdir()
    shutil.copy(victim.program("hook-elsewhere"), hooks / "post-index-change")
    victim.config(core__hooksPath=str(hooks))
    victim.touch()


def index_hook(victim: Victim) -> None:
    (victim.top / ".git/hooks").mkdir(exist_ok=True)
    shutil.copy(victim.program("index-hook"), victim.top / ".git/hooks/post-index-change")
    victim.touch()


def promised(url: str, **more: str) -> Callable[[Victim], None]:
    """Objects that another computer promised, and a way there that starts a program."""

    def lay(victim: Victim) -> None:
        program = victim.program("fetch", "exit 1")
        victim.config(
            core__repositoryformatversion="1",
            extensions__partialClone="o",
            remote__o__promisor="true",
            remote__o__url=url.format(program=program, top=victim.top),
            **{key: value.format(program=program) for key, value in more.items()},
        )
        victim.lose()

    return lay


def drivers(victim: Victim) -> None:
    for key in ("diff__external", "diff__x__command", "diff__x__textconv"):
        victim.config(**{key: victim.program(key)})
    victim.attributes(".git/info/attributes", "*.yaml diff=x\n")


def signed(victim: Victim) -> None:
    program = victim.program("gpg")
    victim.config(gpg__program=program, gpg__ssh__program=program, log__showSignature="true")
    head, message = victim.git("cat-file", "commit", "HEAD").split(b"\n\n", 1)
    signature = b"\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n x\n -----END PGP SIGNATURE-----\n\n"
    whole = head + signature + message
    words = ("git", "hash-object", "-t", "commit", "-w", "--stdin")
    name = call(victim.top, *words, data=whole).decode().strip()
    victim.git("update-ref", "refs/heads/main", name)


def submodule(victim: Victim) -> None:
    inner = victim.top / "inner"
    inner.mkdir()
    call(inner, "git", "init", "--quiet")
    call(inner, "git", "commit", "--quiet", "--allow-empty", "--message", "inner")
    victim.git("add", "inner", check=False)
    victim.git("commit", "--quiet", "--message", "with another")
    monitor = victim.program("inner-monitor", "exit 1")
    call(inner, "git", "config", "core.fsmonitor", monitor)
    victim.config(submodule__inner__update="!" + monitor, diff__submodule="log")


def settings(**pairs: str) -> Callable[[Victim], None]:
    """Settings that name a program each."""

    def lay(victim: Victim) -> None:
        program = victim.program("setting", "exit 1")
        for key, value in pairs.items():
            victim.config(**{key: value.format(program=program, elsewhere=victim.elsewhere)})

    return lay


def bare_folder(victim: Victim) -> None:
    """What a pull request can add: a shop of its own that is a bare repository as well."""
    guest = victim.top / "vehicles" / "guest"
    shutil.copytree(victim.top / ".git", guest)
    shutil.copytree(victim.top / "vehicles", guest / "vehicles", ignore=lambda *_: ["guest"])
    (guest / "config").write_text(
        "[core]\n\trepositoryformatversion = 0\n\tbare = false\n\tworktree = .\n"
        f"\tfsmonitor = {victim.program('guest-monitor', 'exit 1')}\n"
        f'[filter "x"]\n\tclean = {victim.program("guest-clean", "cat")}\n'
    )
    (guest / "info").mkdir(exist_ok=True)
    (guest / "info/attributes").write_text("*.yaml filter=x\n")
    (guest / "house.yaml").write_text("gonogo: house/1\nname: Guest\n")
    shutil.copy(victim.top / PROFILE, victim.top / GUEST)
    victim.touch()


@dataclass(frozen=True)
class Trap:
    """One way in; `springs` tells whether plain git, asked for a difference and a log, falls for it.

    `loses` is set where older versions of the profile are not there to be read.
    """

    lay: Callable[[Victim], None]
    springs: bool = True
    loses: bool = False

    def laid(self, victim: Victim) -> Trap:
        """The same, laid in a repository; what git started meanwhile is forgotten."""
        self.lay(victim)
        victim.started()
        return self


INFO = ".git/info/attributes"
TRAPS = {
    "a bare repository in a folder": Trap(bare_folder, springs=False),
    "the files lie elsewhere": Trap(settings(core__worktree="{elsewhere}"), springs=False),
    "a filter that cleans": Trap(filtered("clean", "cat", INFO)),
    "a filter that stays": Trap(filtered("process", "exit 1", INFO)),
    "a filter that smudges": Trap(filtered("smudge", "cat", INFO), springs=False),
    "attributes among the files": Trap(filtered("clean", "cat", ".gitattributes")),
    "attributes in a file of their own": Trap(filtered("clean", "cat", ".git/attributes")),
    "settings in another file": Trap(included),
    "a monitor of the files": Trap(monitored),
    "hooks elsewhere": Trap(hooks_elsewhere),
    "a hook of the index": Trap(index_hook),
    "objects over ssh": Trap(
        promised("ssh://h.invalid/x", core__sshCommand="{program}"), loses=True
    ),
    "objects from a program": Trap(
        promised("ext::{program}", protocol__ext__allow="always"), loses=True
    ),
    "objects from a server of its own": Trap(
        promised("{top}", remote__o__uploadpack="{program}"), loses=True
    ),
    "objects for a password": Trap(
        promised("http://127.0.0.1:9/x", credential__helper="{program}", core__askPass="{program}"),
        springs=False,
        loses=True,
    ),
    "other stores": Trap(settings(core__alternateRefsCommand="{program}"), springs=False),
    "drivers that show differences": Trap(drivers),
    "signatures": Trap(signed),
    "a pager, an editor and another log": Trap(
        settings(core__pager="{program}", core__editor="{program}", alias__log="!{program}"),
        springs=False,
    ),
    "a repository inside": Trap(submodule),
}
