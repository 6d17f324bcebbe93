"""Makes what a target needs: Debian's packages, the environment in .venv and the compiled kernels.

Usage: prepare.py run | test. Runs on the system's Python with its standard library alone; what is there is left as it
is, what is half made is made again.
"""

import ctypes.util
import fcntl
import hashlib
import importlib.metadata
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
VENV_PYTHON = VENV / "bin" / "python"
RELEASE = VENV / "release"
"""What a shop gets that runs a release: requirements.txt and nothing that comes with the development tools."""
PINS = {"run": ["requirements.txt"], "test": ["requirements.txt", "requirements-dev.txt"]}
DATA = Path(os.environ.get("STOWRIGHT_DATA") or ROOT / "data").expanduser().absolute()


@dataclass(frozen=True)
class Need:
    """Something of the system's: how to tell that it is there, Debian's package for it, and what fails without."""

    package: str
    there: Callable[[], bool]
    without: str


def library(name: str) -> Callable[[], bool]:
    return lambda: ctypes.util.find_library(name) is not None


def program(*names: str) -> Callable[[], bool]:
    return lambda: any(shutil.which(name) for name in names)


def postgres() -> bool:
    return bool(shutil.which("initdb") or list(Path("/usr/lib/postgresql").glob("*/bin/initdb")))


VENV_NEED = Need(
    f"python3.{sys.version_info.minor}-venv",
    lambda: importlib.util.find_spec("ensurepip") is not None,
    "no environment can be made",
)
RUN_NEEDS = [
    Need("libpango-1.0-0", library("pango-1.0"), "no paper can be made"),
    Need("libpangoft2-1.0-0", library("pangoft2-1.0"), "no paper can be made"),
    Need("libharfbuzz-subset0", library("harfbuzz-subset"), "papers are larger than they need be"),
    Need("fonts-dejavu-core", Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf").exists, "papers lack signs"),
]
FONTS = Path("/usr/share/fonts/truetype")
WISHES = [
    Need(
        "fonts-noto-core",
        (FONTS / "noto" / "NotoSansDevanagari-Regular.ttf").exists,
        "names in Arabic, Hebrew, Hindi, Thai and many other letters cannot be printed",
    ),
    Need("fonts-nanum", (FONTS / "nanum" / "NanumGothic.ttf").exists, "names in Korean letters cannot be printed"),
    Need(
        "fonts-droid-fallback",
        (FONTS / "droid" / "DroidSansFallbackFull.ttf").exists,
        "names in Chinese and Japanese letters cannot be printed",
    ),
]
"""What it runs without as well; the order's page says which letters cannot be printed."""
TEST_NEEDS = [
    Need("chromium", program("chromium", "chromium-browser", "google-chrome"), "the browser tests are left out"),
    Need("redis-server", program("redis-server"), "the Redis smoke test is left out"),
    Need("postgresql", postgres, "the PostgreSQL smoke test is left out"),
    Need("poppler-utils", program("pdftoppm"), "the tests of printed pages are left out"),
]


def main(arguments: list[str]) -> int:
    """Prepare for one target; return the exit status."""
    if arguments not in (["run"], ["test"]):
        print(__doc__, file=sys.stderr)
        return 2
    target = arguments[0]
    missing = install_missing([VENV_NEED, *RUN_NEEDS])
    if missing:
        print(f"Please install {names(missing)} (without: {reasons(missing)}), then run this again.", file=sys.stderr)
        return 1
    missing = install_missing(WISHES)
    if missing:
        print(f"Not installed: {names(missing)}; {reasons(missing)}.")
    if target == "test":
        missing = install_missing(TEST_NEEDS)
        if missing:
            print(f"Not installed: {names(missing)}; {reasons(missing)}. Install them to have those tests run.")
    with (ROOT / "requirements.txt").open() as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        for venv, pins in [(VENV, target)] + ([(RELEASE, "run")] if target == "test" else []):
            if not is_ready(venv, pins):
                make_environment(venv, pins)
        build_kernels()
    return 0


def names(needs: list[Need], separator: str = ", ") -> str:
    return separator.join(need.package for need in needs)


def reasons(needs: list[Need]) -> str:
    return ", ".join(dict.fromkeys(need.without for need in needs))


def install_missing(needs: list[Need]) -> list[Need]:
    """Install the Debian packages of what is missing, where that is allowed; return what is missing still."""
    missing = [need for need in needs if not need.there()]
    root = as_root()
    if not missing or root is None:
        return missing
    print(f"Installing Debian's {names(missing)} ...", flush=True)
    install = ["apt-get", "install", "-y", "-q", "--no-install-recommends", "-o", "DPkg::Lock::Timeout=300"]
    install += [need.package for need in missing]
    if not (quietly([*root, *install]) or (quietly([*root, "apt-get", "update", "-q"]) and quietly([*root, *install]))):
        print("apt-get could not install them.", file=sys.stderr)
    return [need for need in missing if not need.there()]


def as_root() -> list[str] | None:
    """Return what to put before a command that needs root, or None where we may not be root or there is no apt-get."""
    if not shutil.which("apt-get"):
        return None
    if os.geteuid() == 0:
        return ["env", "DEBIAN_FRONTEND=noninteractive"]
    if shutil.which("sudo") and quietly(["sudo", "-n", "true"]):
        return ["sudo", "-n", "env", "DEBIAN_FRONTEND=noninteractive"]
    return None


def quietly(command: list[str]) -> bool:
    done = subprocess.run(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False
    )
    return done.returncode == 0


def fingerprint(target: str) -> str:
    digest = hashlib.sha256()
    for name in PINS[target]:
        digest.update((ROOT / name).read_bytes())
    return digest.hexdigest()


def stamps(venv: Path) -> dict[str, str] | None:
    """Return what an environment was made for, or None where it was not finished."""
    try:
        found = json.loads((venv / "ready.json").read_text())
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) and is_whole(venv) else None


def is_ready(venv: Path, target: str) -> bool:
    """Whether the environment was made for this target from these pins, and nothing has gone from it since."""
    found = stamps(venv)
    return found is not None and found.get(target) == fingerprint(target)


def is_whole(venv: Path) -> bool:
    """Whether the environment's Python starts and every file that its packages installed is there."""
    if not quietly([str(venv / "bin" / "python"), "-c", "import pip"]):
        return False
    return all(files_are_there(folder) for folder in venv.glob("lib/python3*/site-packages"))


def files_are_there(site: Path) -> bool:
    there = {str(path) for path in walk(site)}
    for package in importlib.metadata.distributions(path=[str(site)]):
        for line in (package.read_text("RECORD") or "").splitlines():
            name = line.split(",")[0].strip('"')
            if name.endswith((".py", ".so")) and not name.startswith("..") and str(site / name) not in there:
                return False
    return True


def walk(folder: Path) -> Iterator[Path]:
    for parent, _, files in os.walk(folder):
        for name in files:
            yield Path(parent, name)


def make_environment(venv: Path, target: str) -> None:
    """Make an environment from nothing, or bring a whole one up to the pins; the stamp is written last."""
    found = stamps(venv)
    if venv == RELEASE:
        found = None  # what an earlier one left behind would hide what this one lacks
    (venv / "ready.json").unlink(missing_ok=True)
    if found is None:
        print(f"Making the environment in {venv.relative_to(ROOT)} ...", flush=True)
        shutil.rmtree(venv, ignore_errors=True)
        subprocess.run([sys.executable, "-m", "venv", str(venv)], check=True, stdin=subprocess.DEVNULL)
    pins = [argument for name in PINS[target] for argument in ("-r", str(ROOT / name))]
    count = sum(len(re.findall(r"^[\w.-]+==", (ROOT / name).read_text(), re.MULTILINE)) for name in PINS[target])
    print(f"Installing {count} pinned packages ...", flush=True)
    install = [
        str(venv / "bin" / "python"),
        "-m",
        "pip",
        "install",
        "-qq",
        "--disable-pip-version-check",
        "--no-input",
        "--no-compile",
    ]
    subprocess.run([*install, "--require-hashes", *pins], check=True, stdin=subprocess.DEVNULL)
    if venv == VENV:
        compile_packages()
    made = {name: fingerprint(name) for name in PINS if set(PINS[name]) <= set(PINS[target])}
    (venv / "ready.json").write_text(json.dumps(made))


def compile_packages() -> None:
    """Compile the packages once, on all cores: else each start where Python may not write its cache takes 4 s more."""
    sites = [str(site) for site in VENV.glob("lib/python3*/site-packages")]
    subprocess.run([str(VENV_PYTHON), "-m", "compileall", "-qq", "-j", "0", *sites], check=False)


def build_kernels() -> None:
    """Compile the search's kernels into data/kernels, unless that was done for this very code."""
    sources = sorted(path for room in ("nest", "stock") for path in (ROOT / "packing" / room).rglob("*.py"))
    digest = hashlib.sha256(fingerprint("run").encode())
    for path in sources:
        digest.update(path.read_bytes() + str(path.stat().st_mtime_ns).encode())
    cache = ROOT / "data" / "kernels"
    stamp = cache / "built-for"
    if stamp.exists() and stamp.read_text() == digest.hexdigest():
        return
    print("Compiling the search's kernels ...", flush=True)
    shutil.rmtree(cache, ignore_errors=True)
    # Each folder by itself: the mode of a parent that `parents=True` makes is not the one given.
    cache.parent.mkdir(mode=0o700, exist_ok=True)
    cache.mkdir(mode=0o700, exist_ok=True)
    for room in ("nest", "stock"):
        subprocess.run([str(VENV_PYTHON), "-m", f"packing.{room}.warm_cache"], cwd=ROOT, check=True)
    stamp.write_text(digest.hexdigest())


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except subprocess.CalledProcessError as error:
        sys.exit(f"This failed, and nothing was started: {' '.join(map(str, error.cmd))}")
    except OSError as error:
        sys.exit(f"This failed, and nothing was started: {error}")
    except KeyboardInterrupt:
        sys.exit(130)
