"""The page in a real headless Chromium: on a phone, on a desk, and in print."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from .revision import Plain, changed
from .test_report import EVIL, report

pytestmark = [pytest.mark.browser, pytest.mark.usefixtures("frozen")]
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
# Says how wide the page is, into its own text; the policy that forbids scripts is taken out for it.
MEASURE = """<script>addEventListener("load", () => {
  const page = document.documentElement;
  page.dataset.wide = page.scrollWidth; page.dataset.room = innerWidth;
  page.dataset.ink = getComputedStyle(document.querySelector(".chip")).backgroundColor;
});</script></body>"""


def browser(*arguments: str, folder: Path) -> str:
    """What Chromium prints; without one these tests fail."""
    name = next((found for name in NAMES if (found := shutil.which(name))), None)
    assert name is not None, "no Chromium: apt-get install chromium"
    command = [
        name,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--user-data-dir={folder}/user",
    ]
    done = subprocess.run([*command, *arguments], capture_output=True, timeout=120, check=True)
    return done.stdout.decode("utf-8", "replace")


@pytest.fixture
def page(bike: Plain, tmp_path: Path) -> Path:
    """A comparison with all sections, and a name that holds markup."""
    changes = {
        "vehicle.name": EVIL,
        "settings.battery_current_A": 95,
        "settings.max_rpm": 6400,
        "settings.temperature.motor.taper_from_degC": 115,
        "modes.a-mode-with-a-rather-long-name.max_rpm": 3000,
        "readings.throttle.rest_V": None,
    }
    path = tmp_path / "page.html"
    path.write_text(report("html", bike, changed(bike, changes)), encoding="utf-8")
    return path


def measured(page: Path, width: int) -> dict[str, str]:
    """How wide the page came out in a window, and the ground of its verdict."""
    text = page.read_text("utf-8").replace("</body>", MEASURE)
    text = re.sub(r"<meta http-equiv=\"Content-Security-Policy\"[^>]*>", "", text)
    measuring = page.with_name("measuring.html")
    measuring.write_text(text, encoding="utf-8")
    shown = browser(
        f"--window-size={width},900", "--dump-dom", measuring.as_uri(), folder=page.parent
    )
    return dict(re.findall(r'data-(wide|room|ink)="([^"]*)"', shown))


@pytest.mark.parametrize("width", [500, 900, 1280])
def test_nothing_sticks_out_to_the_side(page: Path, width: int) -> None:
    """Nobody scrolls sideways in gloves."""
    found = measured(page, width)
    assert int(found["wide"]) <= int(found["room"]) <= width


@pytest.mark.parametrize("width", [500, 900, 1280])
def test_a_list_of_vehicles_fits_too(tmp_path: Path, width: int) -> None:
    """The whole workshop, with its summary, its findings and their long names."""
    path = tmp_path / "workshop.html"
    vehicles = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
    command = [sys.executable, "-m", "gonogo", "check", str(vehicles), "--as-of", "2026-11-25"]
    done = subprocess.run([*command, "--format", "html", "--output", str(path)], check=False)
    assert done.returncode == 1
    found = measured(path, width)
    assert int(found["wide"]) <= int(found["room"]) <= width


def test_the_style_arrives(page: Path) -> None:
    """A policy that blocked the page's own style would leave it black on white."""
    assert measured(page, 1200)["ink"] not in ("rgb(0, 0, 0)", "")


def test_a_name_is_text_in_the_browser_too(page: Path) -> None:
    """What the browser made of the page holds no script."""
    shown = browser("--dump-dom", page.as_uri(), folder=page.parent)
    assert "<script" not in shown and "&lt;script&gt;alert(1)" in shown
    assert "NO-GO" in shown


def test_it_prints(page: Path) -> None:
    """The sheet that goes into the folder with the vehicle."""
    target = page.with_suffix(".pdf")
    browser(f"--print-to-pdf={target}", page.as_uri(), folder=page.parent)
    assert target.read_bytes().startswith(b"%PDF") and target.stat().st_size > 10_000


def test_it_can_be_seen_on_a_phone(page: Path) -> None:
    """The picture has the size of the window, and more than one colour."""
    target = page.with_suffix(".png")
    browser(f"--screenshot={target}", "--window-size=500,900", page.as_uri(), folder=page.parent)
    assert target.read_bytes().startswith(b"\x89PNG") and target.stat().st_size > 10_000
