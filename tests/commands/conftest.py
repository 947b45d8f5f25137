"""A real git repository to read revisions from, and a bench with vehicles and parts."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

HERE = Path(__file__).parent
PARTS = {
    "cell": "cell: {chemistry: nmc, full_V: 4.2, nominal_V: 3.6, minimum_V: 2.8, continuous_A: 15}",
    "controller": "controller: {min_V: 30, max_V: 80, battery_current_A: 150, "
    "phase_current_A_rms: 300, max_degC: 90}",
    "motor": "motor: {magnets: 10, kv_rpm_per_V: 70, phase_current_A_rms: 120, max_rpm: 6000}",
    "throttle": "throttle: {kind: hall, supply_V: 5}",
}


@dataclass
class Git:
    """A git repository in a folder of its own, with a person who commits."""

    folder: Path

    def __call__(self, *arguments: str) -> str:
        done = subprocess.run(
            ["git", "-c", "user.name=Builder", "-c", "user.email=builder@example.org", *arguments],
            cwd=self.folder,
            check=True,
            capture_output=True,
            text=True,
        )
        return done.stdout

    def write(self, path: str, text: str) -> Path:
        whole = self.folder / path
        whole.parent.mkdir(parents=True, exist_ok=True)
        whole.write_text(text, encoding="utf-8")
        return whole

    def commit(self, message: str) -> str:
        self("add", "--all")
        self("commit", "--quiet", "--allow-empty", "-m", message)
        return self("rev-parse", "HEAD").strip()


@pytest.fixture
def git(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Git:
    """An empty repository, untouched by the settings of whoever runs the tests."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", "/dev/null")
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    folder = tmp_path / "shop"
    folder.mkdir()
    repository = Git(folder)
    repository("init", "--quiet", "--initial-branch=main")
    return repository


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder with the vehicles of these tests and some parts."""
    for path in (HERE / "bench").glob("*.yaml"):
        shutil.copy(path, tmp_path)
    for name, text in PARTS.items():
        (tmp_path / f"{name}.yaml").write_text(
            f"gonogo: part/1\npart: {{name: Bench {name}, source: {{title: Bench sheet}}}}\n{text}\n"
        )
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nname: Bench\n")
    return tmp_path
