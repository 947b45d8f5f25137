"""A process that is started beside the first one runs nothing of the folder that is checked."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from .hostile_files import SOUND, write

STARTED = """\
import multiprocessing
import sys

if __name__ == "__main__":
    multiprocessing.set_start_method(sys.argv[1])
    from gonogo.commands.main import main

    main(["check", ".", "--jobs", "2", "--quiet"])
"""


@pytest.mark.parametrize("way", ["spawn", "forkserver"])
def test_no_module_beside_the_profiles_is_imported(way: str, tmp_path: Path) -> None:
    """Later Pythons and other systems start a process anew, which looks for modules where it stands."""
    program = tmp_path / "program" / "started.py"
    write(program, STARTED)
    shop, told = tmp_path / "shop", tmp_path / "told"
    for number in range(80):
        write(shop / f"{number}.yaml", SOUND)
    for name in ("multiprocessing/__init__.py", "struct.py", "gonogo.py"):
        write(shop / name, f"open({str(told)!r}, 'w').close()\n")
    call = [sys.executable, program, way]
    done = subprocess.run(call, cwd=shop, capture_output=True, text=True, check=False)
    assert not told.exists()
    assert "80 profiles" in done.stdout and done.returncode in (0, 4), done.stderr
