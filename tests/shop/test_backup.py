"""A back-up is of one moment, taken while others write, and comes back whole on either database or not at all."""

import io
import json
import os
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from shop.backup import BackupRefused, backup, restore
from shop.backup.archive import open_archive
from shop.models import Document, Order, Piece
from tests.shop.papers.test_storage import HASH, SAMPLE
from tests.shop.servers import MIGRATE, House, postgres, wait_until
from tests.shop.worker.test_smoke_servers import needs_postgres

FURNISH = """
import hashlib
from django.conf import settings
from shop.services import planning
from shop.demo.load import load, main_order
from shop.models import Document, User
load()
User.objects.create_superuser(username="smith", password="anvil-and-tongs")
plan = planning.plan_now(main_order(load()), 0.2).parcels.get().plan
paper = b"%PDF a paper"
sha256 = hashlib.sha256(paper).hexdigest()
(settings.PAPERS_DIR / f"{sha256}.pdf").write_bytes(paper)
Document.objects.create(plan=plan, kind="slip", page_size="A4", sha256=sha256, made_from_hash=plan.input_hash)
"""
COUNT = """
from shop.models import *
pairs = Customer.objects.filter(name__startswith="Writer").count(), Order.objects.filter(number__gte=1000).count()
order = Order.objects.exclude(consignment=None).get()
papers = [paper.path.read_bytes() for paper in Document.objects.all()]
print(*pairs, Piece.objects.count(), order.parcels.get().plan.code, papers)
"""
WRITE = """
import itertools, time
from django.conf import settings
from django.db import transaction
from shop.models import Customer, Order, Shop
forge = Shop.objects.get()
for number in itertools.count(1000):
    with transaction.atomic():
        customer = Customer.objects.create(shop=forge, name=f"Writer {number}", country="SE")
        Order.objects.create(customer=customer, number=number)
    (settings.DATA_DIR / "written").write_text(str(number))
    time.sleep(0.05)
"""
ADD = "Customer.objects.create(shop=Shop.objects.get(), name='After', country='SE')"


@pytest.fixture
def houses(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Any]:
    """One house to be backed up and an empty one for the back-up, on the databases named."""
    opened = []
    for name in ("old", "new"):
        (tmp_path / name).mkdir(mode=0o700)
        opened.append(House(tmp_path / name))
    with postgres() as address:
        opened[request.param == "from files"].database = address
        yield opened
    for house in opened:
        house.close()


@needs_postgres
@pytest.mark.parametrize("houses", ["from files", "from PostgreSQL"], indirect=True)
def test_backup_taken_while_others_write_is_of_one_moment_and_comes_back_whole(houses: Any, tmp_path: Path) -> None:
    old, new = houses
    written = old.run(MIGRATE + FURNISH + COUNT).split()[2:]
    writer = old.start("manage.py", "shell", "--no-imports", "-c", WRITE)
    wait_until((old.data / "written").exists, "the writer writes", writer)
    file = tmp_path / "shop.backup"
    made = old.manage("backup", str(file))
    assert made.returncode == 0, made.stderr
    assert writer.poll() is None
    assert file.stat().st_mode & 0o077 == 0
    done = new.manage("restore", str(file))
    assert done.returncode == 0, done.stdout + done.stderr
    customers, orders, *rest = new.run(COUNT + ADD).split()  # new rows get keys of their own
    assert int(customers) == int(orders) > 0
    assert rest == written
    assert (new.data / "secret_key").read_bytes() == (old.data / "secret_key").read_bytes()


@pytest.fixture
def saved(transactional_db: Any, settings: Any, tmp_path: Path, order: Order, piece: Piece) -> Any:
    """The back-up of a small shop, and the folder it is in."""
    settings.DATA_DIR, settings.PAPERS_DIR = tmp_path, tmp_path / "papers"
    settings.PAPERS_DIR.mkdir()
    (tmp_path / "secret_key").write_text("a key")
    file = tmp_path / "shop.backup"
    backup(file)
    return file


def rewritten(file: Any, name: Any, change: Any) -> None:
    """The same back-up with one member changed."""
    draft = io.BytesIO()
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(draft, "w") as new:
        for member in old.namelist():
            data = old.read(member)
            new.writestr(member, change(data) if member == name else data)
    file.write_bytes(draft.getvalue())


def test_backup_holds_every_table_but_the_open_log_ins(saved: Any) -> None:
    archive, manifest = open_archive(saved)
    with archive:
        names = set(archive.namelist())
    assert manifest.tables["shop.piece"].rows == 1 and manifest.with_key
    assert "rows/shop.piece.jsonl" in names and "rows/sessions.session.jsonl" not in names
    assert len(names) == len(manifest.tables) + 2


def test_backup_never_replaces_a_file(saved: Any) -> None:
    with pytest.raises(BackupRefused, match="is there already"):
        backup(saved)


def test_backup_that_cannot_be_written_leaves_nothing_behind(saved: Any, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"The back-up was not made: .*No such file or directory"):
        call_command("backup", str(tmp_path / "nowhere" / "file"))
    assert not list(tmp_path.glob("*.part"))


def test_backup_names_papers_whose_file_is_gone_and_refuses_a_changed_one(
    saved: Any, order: Order, tmp_path: Path, settings: Any
) -> None:
    from shop.models import BoxPlan

    content = json.loads(SAMPLE.read_text(encoding="utf-8"))
    plan = BoxPlan.objects.create(order=order, content=content, order_content={}, rules={}, input_hash=HASH)
    Document.objects.create(plan=plan, kind="slip", page_size="A4", sha256=HASH, made_from_hash=HASH)
    assert backup(tmp_path / "second").manifest.missing_papers == [HASH]
    Path(settings.PAPERS_DIR, f"{HASH}.pdf").write_bytes(b"not what it was")
    with pytest.raises(BackupRefused, match=f"The paper {HASH}.pdf is damaged"):
        backup(tmp_path / "third")


def test_restore_a_shop_that_is_not_empty_is_left_alone(saved: Any) -> None:
    with pytest.raises(BackupRefused, match="This shop is not empty"):
        restore(saved)


def test_restore_a_file_cut_short_is_refused(saved: Any) -> None:
    saved.write_bytes(saved.read_bytes()[:-200])
    with pytest.raises(BackupRefused, match="not a whole back-up file"):
        restore(saved)


@pytest.mark.parametrize("kind", ["pipe", "folder", "device"])
def test_restore_what_is_no_plain_file_is_refused_and_not_waited_for(db: Any, tmp_path: Path, kind: Any) -> None:
    place = tmp_path / kind
    if kind == "pipe":
        os.mkfifo(place)
    elif kind == "folder":
        place.mkdir()
    else:
        place = Path("/dev/zero")
    with pytest.raises(BackupRefused, match="not a plain file"):
        restore(place)


def test_restore_a_file_with_a_flipped_bit_is_refused(saved: Any) -> None:
    with zipfile.ZipFile(saved) as archive:
        member = archive.getinfo("rows/shop.piece.jsonl")
    data = bytearray(saved.read_bytes())
    data[member.header_offset + 30 + len(member.filename) + member.compress_size // 2] ^= 4
    saved.write_bytes(data)
    with pytest.raises(BackupRefused, match="damaged"):
        restore(saved)


def test_restore_a_back_up_of_a_later_version_is_refused(saved: Any) -> None:
    rewritten(saved, "manifest.json", lambda data: data.replace(b'"shop": "00', b'"shop": "99'))
    with pytest.raises(BackupRefused, match="does not know shop 99"):
        restore(saved)


def test_restore_another_format_is_refused(saved: Any) -> None:
    rewritten(saved, "manifest.json", lambda data: data.replace(b'"format": 1', b'"format": 7'))
    with pytest.raises(BackupRefused, match="has format 7"):
        restore(saved)


def test_restore_a_row_that_was_changed_is_refused_and_nothing_stays(tmp_path: Path) -> None:
    old, new = House(tmp_path / "old"), House(tmp_path / "new")
    for house in (old, new):
        house.data.mkdir(mode=0o700)
    old.migrate_and_ask()
    file = tmp_path / "shop.backup"
    assert old.manage("backup", str(file)).returncode == 0
    rewritten(file, "rows/shop.order.jsonl", lambda data: data.replace(b'"number": 17', b'"number": 18'))
    done = new.manage("restore", str(file))
    assert done.returncode == 1 and "shop.order should have 1 rows and has 1, not all of them the same" in done.stderr
    new.run("from shop.models import Shop; assert not Shop.objects.exists()")
    assert not list((new.data / "papers").iterdir())
