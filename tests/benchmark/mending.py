"""What mending costs, in checks of the same profile, with one mode and with as many as there may be.

Run it where gonogo is installed with `pip install .`, on a machine that has nothing else to do:

    python tests/benchmark/mending.py

Every mode of the profile has three settings that must be moved. It prints a ratio for each number
of modes, in CPU time of one process; meant to stay within 6. The tests count judgements and hold
no clock.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from gonogo.documents.loading import load_profile
from gonogo.documents.repository import open_repository
from gonogo.judgement.judge import judge
from gonogo.judgement.mend import mend
from gonogo.judgement.site_rules import shop_of
from windows import JUDGED_ON, cpu_s

SOUND = Path(__file__).parents[1] / "hazards" / "base.yaml"
MODES = (1, 5, 20)
WRONG = "{{battery_current_A: {}, phase_current_A_rms: {}, max_rpm: {}}}"
MOST = 6


def ratio(modes: int, folder: Path) -> float:
    """Mending so many wrong modes beside checking them."""
    lines = (f"  m{i}: {WRONG.format(200 + i, 900 + i, 9000 + i)}\n" for i in range(modes))
    path = folder / f"{modes}.yaml"
    text = SOUND.read_text("utf-8").split("\nmodes:")[0].rstrip()
    path.write_text(f"{text}\nmodes:\n{''.join(lines)}", "utf-8")
    repository, inside = open_repository(path)
    profile, catalogue = load_profile(repository, inside), shop_of(repository).catalogue
    check_s = cpu_s(lambda: judge(profile, catalogue, JUDGED_ON))
    mend_s = cpu_s(lambda: mend(profile, catalogue, JUDGED_ON))
    moved = len(mend(profile, catalogue, JUDGED_ON).settings)
    told = f"check {1000 * check_s:.0f} ms, {moved} settings moved {1000 * mend_s:.0f} ms"
    print(f"{modes:2} modes: {told}, ratio {mend_s / check_s:.1f}")
    return mend_s / check_s


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        largest = max(ratio(modes, Path(folder)) for modes in MODES)
    print(f"largest ratio {largest:.1f}, meant to stay within {MOST}")
