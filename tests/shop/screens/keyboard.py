"""A real browser at the keyboard: keys are pressed, clicks are made, and both are counted.

The browser is told what to do over a pair of pipes (its remote debugging protocol: one JSON object a message, each
ended by a zero byte), so that no library and no port is needed.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Any

from tests.shop.screens.browser import CHROMIUM

KEYS = {"Enter": ("Enter", 13, "\r"), "Tab": ("Tab", 9, "")}
PATIENCE_S = 30.0
WITH_PIPES = """
import os, sys
os.dup2(int(sys.argv[1]), 3)
os.dup2(int(sys.argv[2]), 4)
os.execv(sys.argv[3], sys.argv[3:])
"""
"""Starts the browser with its pipes as the descriptors that it looks for: 3 to read from, 4 to write to."""


class Keyboard:
    """A page in a browser, its keys and its pointer; `strokes` counts every key and every click."""

    def __init__(self, folder: Path) -> None:
        self.strokes = 0
        self._sent = 0
        commands, self._commands = os.pipe()
        self._answers, answers = os.pipe()
        options = ["--headless=new", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe"]
        browser = [str(CHROMIUM), *options, f"--user-data-dir={folder / 'keyboard'}", "about:blank"]
        self._process = subprocess.Popen(
            [sys.executable, "-c", WITH_PIPES, str(commands), str(answers), *browser],
            pass_fds=(commands, answers),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "HOME": str(folder)},
        )
        os.close(commands)
        os.close(answers)
        self._rest = b""
        target = self._call("Target.createTarget", {"url": "about:blank"})["targetId"]
        self._session = ""
        self._session = self._call("Target.attachToTarget", {"targetId": target, "flatten": True})["sessionId"]

    def __enter__(self) -> Keyboard:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None) -> None:
        self._call("Browser.close")
        self._process.wait(timeout=PATIENCE_S)
        os.close(self._commands)
        os.close(self._answers)

    def open(self, address: str, **cookies: str) -> None:
        """Open an address with these cookies; not counted."""
        for name, value in cookies.items():
            self._call("Network.setCookie", {"name": name, "value": value, "url": address})
        self._call("Page.navigate", {"url": address})
        self.until("document.readyState == 'complete'")

    def click(self, selector: str) -> None:
        """Click the middle of an element."""
        self.until(f"document.querySelector({json.dumps(selector)}) !== null")
        middle = f"""(() => {{ const e = document.querySelector({json.dumps(selector)});
            e.scrollIntoView({{block: 'center'}}); const r = e.getBoundingClientRect();
            return [r.x + r.width / 2, r.y + r.height / 2]; }})()"""
        x, y = self.value(middle)
        for kind in ("mousePressed", "mouseReleased"):
            event = {"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1}
            self._call("Input.dispatchMouseEvent", event)
        self.strokes += 1

    def type(self, text: str) -> None:
        """Type a text, one key a letter."""
        for letter in text:
            self._call("Input.dispatchKeyEvent", {"type": "char", "text": letter})
            self.strokes += 1

    def press(self, key: str) -> None:
        """Press a key by its name."""
        name, code, text = KEYS[key]
        event = {"key": name, "code": name, "windowsVirtualKeyCode": code, "text": text}
        self._call("Input.dispatchKeyEvent", {"type": "keyDown", **event})
        self._call("Input.dispatchKeyEvent", {"type": "keyUp", **event})
        self.strokes += 1

    def value(self, expression: str) -> Any:
        """What an expression in the page is."""
        asked = {"expression": expression, "returnByValue": True}
        return self._call("Runtime.evaluate", asked)["result"].get("value")

    def until(self, expression: str) -> None:
        """Wait until an expression in the page is true."""
        end = time.monotonic() + PATIENCE_S
        while not self.value(expression):
            if time.monotonic() > end:
                raise TimeoutError(f"Never true on {self.value('location.href')}: {expression}")
            time.sleep(0.05)

    def _call(self, method: str, parameters: dict[str, Any] | None = None) -> Any:
        self._sent += 1
        message: dict[str, Any] = {"id": self._sent, "method": method, "params": parameters or {}}
        if getattr(self, "_session", ""):
            message["sessionId"] = self._session
        if method == "Browser.close":
            message.pop("sessionId")
        os.write(self._commands, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._read()
            if answer.get("id") == self._sent:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]

    def _read(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            part = os.read(self._answers, 1 << 16)
            if not part:
                raise RuntimeError("The browser is gone.")
            self._rest += part
        whole, _zero, self._rest = self._rest.partition(b"\0")
        answer: dict[str, Any] = json.loads(whole)
        return answer
