"""Files of the command line: the order that is read, and the output folder with its drawings and cutting files."""

import contextlib
import fcntl
import json
import os
import re
import stat
import tempfile
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from packing.draw.cut_way import FOLLOWERS, USUAL_KERF_UM, CutWay
from packing.measure import BadInput, Order, read_order
from packing.plan import Plan

DRAWING = re.compile(
    r"(layer-\d+|sheet-S\d+|side-section|open-box|blank|(rods|heads)-\d+|piece-[A-Za-z0-9]+|closed-box)\.svg|cut-[a-z0-9-]+\.(svg|dxf)"
)
"""Names of the drawings and cutting files in an output folder."""
ROD_PAPER = (244.0, 160.0)
"""Millimetres in full size that A4 and Letter both take, laid on their long side, with margins of 17 mm and more."""
MOST_BYTES = 10_000_000
"""Of an order file: one of 300 tools without outlines has 51 kB."""


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    content: dict[str, Any] = {}
    for key, value in pairs:
        if key in content:
            raise BadInput(key, "is given twice in one object.")
        content[key] = value
    return content


def _number(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        raise BadInput("ORDER.json", f"holds a number that is out of all bounds: {text[:40]}.") from None


def _without_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | os.O_NONBLOCK)


def _text_of(path: str) -> str:
    """The text of a plain file; a pipe, which might never end, is not waited for."""
    try:
        with open(path, encoding="utf-8-sig", opener=_without_waiting) as file:
            found = os.fstat(file.fileno())
            if not stat.S_ISREG(found.st_mode):
                raise BadInput("ORDER.json", f"must be a plain file; {path} is none.")
            if found.st_size > MOST_BYTES:
                most = f"{MOST_BYTES // 1_000_000} MB"
                raise BadInput("ORDER.json", f"must have at most {most}, not {found.st_size} bytes: {path}.")
            return file.read()
    except UnicodeDecodeError as error:
        raise BadInput("ORDER.json", f"is not UTF-8 text: byte {error.start + 1} of {path} is not.") from None
    except OSError as error:
        raise BadInput("ORDER.json", f"cannot be read: {error.strerror}: {path}.") from None
    except ValueError as error:
        raise BadInput("ORDER.json", f"cannot be read: {error}.") from None


def load_order(path: str) -> Order:
    """Read an order file; raises `BadInput` where it cannot be read or taken."""
    text = _text_of(path)
    try:
        content = json.loads(text, parse_float=_number, parse_int=_number, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise BadInput("ORDER.json", f"is not JSON: {error}.") from None
    return read_order(content)


def refuse_unusable_folder(folder: str) -> None:
    """Raise `BadInput`, before anything is planned, where a folder cannot be made or written."""
    if not folder:
        raise BadInput("--out", "must name a folder, not an empty text.")
    place = Path(folder).absolute()
    try:
        while not place.exists():
            place = place.parent
    except OSError as error:
        raise BadInput("--out", f"cannot be used: {error.strerror}: {place}.") from None
    if not place.is_dir():
        raise BadInput("--out", f"must be a folder; {place} is none.")
    if not os.access(place, os.W_OK | os.X_OK):
        raise BadInput("--out", f"must be a folder that can be written; {place} cannot.")


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Runs that write to one folder wait for each other."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        # Some file systems know no locks; two runs into one folder are rare, and each file is whole all the same.
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _beside(folder: Path, text: str) -> Path:
    """A file in this folder with this text, under a name of its own; what may be read is as with any new file."""
    handle, name = tempfile.mkstemp(dir=folder, prefix=".", suffix=".part")
    with open(handle, "w", encoding="utf-8") as file:
        file.write(text)
    # The mask can only be read by setting it.
    mask = os.umask(0)
    os.umask(mask)
    os.chmod(name, 0o666 & ~mask)
    return Path(name)


def write_files(folder: Path, files: dict[str, str]) -> None:
    """Write files into a folder, each whole or not at all; drawings of an earlier plan that are not among them go.

    Raises
    ------
    BadInput
        The folder cannot be made or written.
    """
    parts: dict[str, Path] = {}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone_in(folder):
            for name, text in files.items():
                parts[name] = _beside(folder, text)
            # Only once all of them are written: a full disk leaves the plan before as it was.
            for name, part in parts.items():
                part.replace(folder / name)
            for old in folder.iterdir():
                if DRAWING.fullmatch(old.name) and old.name not in files:
                    old.unlink()
    except OSError as error:
        raise BadInput("--out", f"cannot be written: {error.strerror}: {error.filename}.") from None
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


def drawings(plan: Plan) -> dict[str, str]:
    """The drawings of a plan: file name to SVG text; sheets that are cut alike are drawn once."""
    from packing import draw

    layers = range(len(plan.layers)) if plan.layers else [None]
    made = {f"layer-{0 if layer is None else layer + 1}.svg": draw.plan_view(plan, layer) for layer in layers}
    made |= {"side-section.svg": draw.side_section(plan), "open-box.svg": draw.isometric(plan)}
    made |= {f"sheet-{ids[0]}.svg": draw.sheet_drawing(plan, ids[0]) for ids in draw.together(plan.insert)}
    made |= {f"rods-{number}.svg": page for number, page in enumerate(draw.rod_pages(plan, paper=ROD_PAPER), 1)}
    made |= {f"heads-{number}.svg": page for number, page in enumerate(draw.template_pages(plan, paper=ROD_PAPER), 1)}
    if plan.box.blank is not None:
        made["blank.svg"] = draw.blank_drawing(plan)
    else:
        made |= {f"piece-{piece.id}.svg": draw.piece_drawing(plan, piece.id) for piece in plan.box.pieces}
    made["closed-box.svg"] = draw.small_box(plan)
    return {name: drawing.svg for name, drawing in made.items()}


def cut_way(tool: str, kerf_um: int | None, *, moved: bool) -> CutWay:
    """The way cutting files are cut, as the command line names it.

    Raises BadInput on a tool that is not known and on a cut that none makes.
    """
    found = next((one for one in FOLLOWERS if one.value == tool), None)
    if found is None:
        raise BadInput("--cut-by", f"must be one of {', '.join(FOLLOWERS)}, not {tool!r}.")
    return CutWay(found, USUAL_KERF_UM[found] if kerf_um is None else kerf_um, moved)


def cutting_files(plan: Plan, way: CutWay) -> dict[str, str]:
    """The cutting files of a plan's box and insert, full size: file name to SVG or DXF text.

    Raises BadInput where the cut is too wide for a part.
    """
    from packing.draw.cut_file_dxf import cut_files

    return {f"cut-{name}": text for name, text in cut_files(plan, way).items()}
