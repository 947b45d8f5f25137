"""Documents, reports and pipes are UTF-8 wherever they are, whatever the locale says."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

LOCALES = [
    {"LC_ALL": "C"},
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"LANG": "de_DE.ISO-8859-1", "PYTHONUTF8": "0"},
    {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii:strict"},
    {"PYTHONIOENCODING": "utf-16"},
]
NAME = "Fähre Ω 車"
PROFILE = f"gonogo: profile/1\nvehicle: {{name: {NAME}}}\n"


def asked(
    folder: Path, locale: dict[str, str], *arguments: str
) -> subprocess.CompletedProcess[bytes]:
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("LC_", "LANG", "PYTHON"))
    }
    return subprocess.run(
        [sys.executable, "-m", "gonogo", *arguments],
        cwd=folder,
        env={**kept, **locale},
        capture_output=True,
        check=False,
        timeout=120,
    )


@pytest.mark.parametrize("locale", LOCALES, ids=lambda locale: " ".join(locale.values()))
def test_every_stream_and_file_is_utf_8(locale: dict[str, str], tmp_path: Path) -> None:
    """A build machine without a locale writes the report that a desk writes."""
    (tmp_path / "house.yaml").write_bytes(b"gonogo: house/1\n")
    (tmp_path / "fähre.yaml").write_bytes(PROFILE.encode())
    piped = asked(tmp_path, locale, "check", "fähre.yaml", "--format", "json")
    report = json.loads(piped.stdout.decode("utf-8"))
    assert (piped.returncode, piped.stderr) == (4, b"")
    profile = report["profiles"][0]
    assert (profile["name"], profile["file"]) == (NAME, "fähre.yaml")
    written = asked(tmp_path, locale, "check", "fähre.yaml", "--output", "größe.txt")
    assert written.returncode == 4
    assert NAME in (tmp_path / "größe.txt").read_bytes().decode("utf-8")
    wrong = asked(tmp_path, locale, "chäck")
    assert (wrong.returncode, "chäck" in wrong.stderr.decode("utf-8")) == (2, True)


@pytest.mark.parametrize(
    ("data", "column"),
    [("Fähre".encode("latin-1"), 18), (b"\xff", 17), (b"F\xc3\x28", 18), (b"Fa\x80", 19)],
)
def test_a_document_in_another_encoding_is_refused_at_its_place(
    data: bytes, column: int, tmp_path: Path
) -> None:
    """Half of a name read in one encoding and half in another is no name."""
    (tmp_path / "alder.yaml").write_bytes(b"gonogo: profile/1\nvehicle: {name: " + data + b"}\n")
    done = asked(tmp_path, {"LC_ALL": "C"}, "check", "alder.yaml", "--format", "json")
    (error,) = json.loads(done.stdout.decode("utf-8"))["errors"]
    assert (done.returncode, error["line"], error["column"]) == (3, 2, column)
    assert "UTF-8" in error["wanted"]
