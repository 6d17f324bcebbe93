"""A screen looked at by a real browser: accessibility rules, sizes of text and targets, width."""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

from axe_core_python.base import AXE_SCRIPT
from django.contrib.staticfiles import finders

from tests.helpers import present

NAMES = ("chromium", "chromium-browser", "google-chrome")
CHROMIUM = next((path for path in map(shutil.which, NAMES) if path), None)

# Everything that can be pressed but links inside a running text (WCAG 2.2 leaves those out, 2.5.8).
PRESSED = (
    "button, a.button, summary, nav a, tr.link a, select, textarea, label:has(input), "
    "input:not([type=hidden]):not([type=checkbox]):not([type=radio])"
)

PROBE = """
addEventListener("load", async () => {
  for (const closed of document.querySelectorAll("details")) closed.open = true;
  const shown = (e) => e.checkVisibility() && !e.closest(".visually-hidden, .skip");
  const texts = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement, text = walk.currentNode.data.trim();
    if (!text || !shown(e) || e.closest("svg, script, style")) continue;
    if (parseFloat(getComputedStyle(e).fontSize) < 16) texts.push(text);
  }
  const targets = [...document.querySelectorAll(PRESSED)].filter(shown)
    .filter((e) => e.getBoundingClientRect().height < 43.9 || e.matches("tr.link a") && e.offsetWidth < 44)
    .map((e) => e.outerHTML.slice(0, 120));
  const rules = await axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]});
  const where = (rule) => rule.nodes.map((node) => node.html.slice(0, 160)).join(" | ");
  const broken = rules.violations.map((rule) => `${rule.id}: ${where(rule)}`);
  const root = document.documentElement;
  parent.found({texts, targets, broken, overflow: Math.max(0, root.scrollWidth - root.clientWidth)});
});
"""

PLACE = """
addEventListener("load", () => {
  const e = document.querySelector(SELECTOR);
  parent.found(e && e.checkVisibility() ? Math.round(e.getBoundingClientRect().top + scrollY) : null);
});
"""

HARNESS = """<!doctype html><html><body><pre id="all"></pre><script>
const all = [];
function found(one) { all.push(one); document.getElementById("all").textContent = JSON.stringify(all); }
</script>%s</body></html>"""


def look_at(page: str, folder: Path, widths: tuple[int, ...] = (768, 320)) -> list[dict[str, Any]]:
    """What a browser finds on a page at each width: texts under 16 px, targets under 44 px, overflow, broken rules."""
    inside = _whole(page, AXE_SCRIPT, PROBE.replace("PRESSED", json.dumps(PRESSED)))
    return _seen(inside, folder, widths)


def top_of(page: str, folder: Path, selector: str, *, width: int) -> int | None:
    """How far below the top of a page an element begins at a width, in px; None where it is not to be seen."""
    found: list[int | None] = _seen(_whole(page, PLACE.replace("SELECTOR", json.dumps(selector))), folder, (width,))
    return found[0]


def _seen(page: str, folder: Path, widths: tuple[int, ...]) -> list[Any]:
    """What the scripts inside a page have found at each width."""
    frames = "".join(
        f'<iframe style="width:{width}px;height:900px;border:0" srcdoc="{html.escape(page)}"></iframe>'
        for width in widths
    )
    harness = folder / "page.html"
    harness.write_text(HARNESS % frames, encoding="utf-8")
    command = [str(CHROMIUM), "--headless=new", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=60000"]
    command += [f"--user-data-dir={folder / 'profile'}", "--window-size=1300,1000", "--dump-dom", harness.as_uri()]
    environment = {**os.environ, "HOME": str(folder)}
    run = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True, env=environment)
    answer = re.search(r'<pre id="all">(.*?)</pre>', run.stdout, re.DOTALL)
    found = json.loads(html.unescape(answer.group(1))) if answer and answer.group(1) else []
    if len(found) != len(widths):
        raise RuntimeError(f"The browser looked at {len(found)} of {len(widths)} widths: {run.stderr[-500:]}")
    return found


def _whole(page: str, *scripts: str) -> str:
    """The page with our style sheet and the scripts inside it, so that nothing is fetched."""
    page = re.sub(r"<script[^>]*></script>|<link[^>]*>", "", page)
    style = Path(present(finders.find("shop/stowright.css"))).read_text(encoding="utf-8")
    inside = f"<style>{style}</style>" + "".join(f"<script>{script}</script>" for script in scripts)
    return page.replace("</head>", f"{inside}</head>")
