"""A page in a real headless Chromium: how wide it comes out, and on which sheet of paper each part lies."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
# Says how wide the page is, to the frame that it is looked at in, since no window of a browser is as
# narrow as a phone; the policy that forbids scripts is taken out for it.
MEASURE = """<script>addEventListener("load", () => {
  const chip = document.querySelector(".chip");
  const seen = [...document.querySelectorAll("body *")].filter((one) => one.getClientRects().length
    && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()));
  const size = (one) => parseFloat(getComputedStyle(one).fontSize) * (one.getScreenCTM?.().a ?? 1);
  const across = (what) => [...document.querySelectorAll(what)].map((one) => one.getBoundingClientRect().width);
  parent.postMessage({wide: document.documentElement.scrollWidth, room: innerWidth,
    tall: document.documentElement.scrollHeight, least: Math.min(...seen.map(size)),
    box: Math.min(...across(".box")), ink: chip ? getComputedStyle(chip).backgroundColor : ""}, "*");
});</script></body>"""
FRAME = """<body style="margin:0"><script>addEventListener("message", (said) =>
  Object.assign(document.documentElement.dataset, said.data));</script>
<iframe src="measuring.html" style="border:0;width:{}px;height:900px"></iframe></body>"""
# Each finding begins and ends with an address, which a PDF keeps on the page where it lies.
ENDS = """<script>document.querySelectorAll(SELECTOR).forEach((part, number) => {
  for (const end of ["begin", "end"]) {
    const mark = document.createElement("a");
    mark.href = `http://${end}.example/${number}/`; mark.textContent = "·";
    end === "begin" ? part.prepend(mark) : part.append(mark);
  }
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
        "--disable-quic",
        "--disable-sync",
        "--disable-background-networking",
        "--disable-component-update",
        "--no-first-run",
        f"--user-data-dir={folder}/user",
    ]
    done = subprocess.run([*command, *arguments], capture_output=True, timeout=120, check=True)
    return done.stdout.decode("utf-8", "replace")


def measured(page: Path, width: int) -> dict[str, str]:
    """How wide and tall the page came out in a window, its smallest letters and narrowest box in px,
    and the ground of its verdict."""
    scripted(page, MEASURE, "measuring.html")
    frame = page.with_name("frame.html")
    frame.write_text(FRAME.format(width), encoding="utf-8")
    window = (f"--window-size={max(width, 500)},900", "--virtual-time-budget=4000", "--dump-dom")
    shown = browser(*window, frame.as_uri(), folder=page.parent)
    return dict(re.findall(r'data-(wide|room|tall|least|box|ink)="([^"]*)"', shown))


def scripted(page: Path, script: str, name: str) -> Path:
    """The page with a script of the test in it."""
    text = page.read_text("utf-8").replace("</body>", script)
    text = re.sub(r"<meta http-equiv=\"Content-Security-Policy\"[^>]*>", "", text)
    target = page.with_name(name)
    target.write_text(text, encoding="utf-8")
    return target


def made(path: Path, *arguments: str) -> Path:
    """A page as a command writes it."""
    command = [sys.executable, "-m", "gonogo", *arguments, "--format", "html", "--output"]
    done = subprocess.run([*command, str(path)], check=False)
    assert done.returncode in (0, 1, 4)
    return path


def sheets(page: Path, selector: str) -> list[tuple[int, int]]:
    """On which sheets of paper each part of a page begins and ends."""
    marked = scripted(page, ENDS.replace("SELECTOR", repr(selector)), "marked.html")
    target = page.with_suffix(".pdf")
    browser(f"--print-to-pdf={target}", marked.as_uri(), folder=page.parent)
    objects = dict(re.findall(rb"(?s)\n(\d+) 0 obj\n(.*?)\nendobj", target.read_bytes()))
    on: dict[tuple[bytes, bytes], int] = {}
    pages = [body for body in objects.values() if re.search(rb"/Type\s*/Page\b", body)]
    for number, body in enumerate(pages):
        annotations = re.search(rb"(?s)/Annots\s*\[(.*?)\]", body)
        for name in re.findall(rb"(\d+) 0 R", annotations[1] if annotations else b""):
            address = re.search(rb"http://(begin|end)\.example/(\d+)/", objects[name])
            if address:
                on[address[1], address[2]] = number
    return [(sheet, on[b"end", part]) for (end, part), sheet in on.items() if end == b"begin"]


def sheet_count(page: Path) -> int:
    """How many sheets of paper the last print of a page took."""
    return len(re.findall(rb"/Type\s*/Page\b", page.with_suffix(".pdf").read_bytes()))


def on_paper(page: Path, size: str) -> Path:
    """The page as it is printed on a size of paper, for a window too: what holds in print holds."""
    text = page.read_text("utf-8").replace("@media print {", "@media all {")
    target = page.with_name(f"{page.stem}-{size}.html")
    target.write_text(text.replace("</style>", f"@page {{ size: {size}; }}</style>"), "utf-8")
    return target
