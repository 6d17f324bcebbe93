"""Real servers for tests: PostgreSQL and Redis on free local ports, and our own worker and serve processes."""

import os
import pwd
import shutil
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psycopg
import redis

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 60


def wait_until(true: Any, what: Any, process: Any = None, *, patience_s: Any = PATIENCE_S) -> None:
    """Wait for a condition; fail with what was awaited when patience or the process ends."""
    deadline = time.monotonic() + patience_s
    while not true():
        if process is not None and process.poll() is not None:
            raise AssertionError(f"{what}: the process ended with {process.returncode}")
        if time.monotonic() > deadline:
            raise AssertionError(f"{what}: not within {patience_s} s")
        time.sleep(0.05)


def free_port() -> Any:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def postgres_program(name: Any) -> Any:
    """Return the path of one of PostgreSQL's programs, or None; Debian keeps them beside the path."""
    places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
    return str(places[-1]) if places else shutil.which(name)


def lesser_user() -> Any:
    """Return who runs PostgreSQL, which refuses to be run by root: keyword arguments for subprocess."""
    if os.geteuid() != 0:
        return {}
    names = {entry.pw_name for entry in pwd.getpwall()}
    account = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


@contextmanager
def running(arguments: Any, **options: Any) -> Iterator[Any]:
    """Run a server for the length of a block; end it with INT, and kill it if that is not heeded."""
    with subprocess.Popen(arguments, stdin=subprocess.DEVNULL, **options) as process:
        try:
            yield process
        finally:
            process.send_signal(2)
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()


@contextmanager
def postgres() -> Iterator[Any]:
    """A new PostgreSQL cluster; yields the address of an empty database."""
    who = lesser_user()
    with tempfile.TemporaryDirectory(prefix="pg", ignore_cleanup_errors=True) as folder:
        if who:
            os.chown(folder, who["user"], who["group"])
        data, port = f"{folder}/data", free_port()
        options = {"cwd": folder, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, **who}
        setup = ["-D", data, "--auth=trust", "--username=stowright", "--encoding=UTF8", "--locale=C", "--no-sync"]
        subprocess.run([postgres_program("initdb"), *setup], check=True, **options)
        listen = ["-p", str(port), "-k", folder, "-c", "listen_addresses=127.0.0.1", "-c", "fsync=off"]
        with running([postgres_program("postgres"), "-D", data, *listen], **options) as process:
            address = f"postgresql://stowright@127.0.0.1:{port}"
            wait_until(lambda: _postgres_answers(f"{address}/postgres"), "PostgreSQL answers", process)
            with psycopg.connect(f"{address}/postgres", autocommit=True) as connection:
                connection.execute("CREATE DATABASE stowright")
            yield f"{address}/stowright"


def _postgres_answers(address: Any) -> Any:
    try:
        psycopg.connect(address, connect_timeout=2).close()
    except psycopg.OperationalError:
        return False
    return True


@contextmanager
def redis_server(port: Any) -> Iterator[Any]:
    """A new Redis that keeps nothing; yields its address."""
    with tempfile.TemporaryDirectory(prefix="redis") as folder:
        options = ["--port", str(port), "--bind", "127.0.0.1", "--save", "", "--dir", folder]
        with running(["redis-server", *options], stdout=subprocess.DEVNULL) as process:
            client = redis.Redis(port=port)
            wait_until(lambda: _redis_answers(client), "Redis answers", process)
            client.close()
            yield f"redis://127.0.0.1:{port}/0"


def _redis_answers(client: Any) -> Any:
    try:
        return client.ping()
    except redis.ConnectionError:
        return False


@dataclass
class House:
    """One installation: a data folder, a database and a broker, and the processes started in it."""

    data: Path
    database: str = ""
    broker: str = ""
    processes: list[Any] = field(default_factory=list)
    python: str = sys.executable
    settings: str = "tests.shop.bench.settings"

    @property
    def environment(self) -> Any:
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("STOWRIGHT_", "CELERY_"))}
        own = {"STOWRIGHT_DATA": str(self.data), "DATABASE_URL": self.database, "CELERY_BROKER_URL": self.broker}
        return {**kept, **own, "DJANGO_SETTINGS_MODULE": self.settings}

    def manage(self, *arguments: Any) -> Any:
        """Run one of manage.py's commands to its end; return what became of it."""
        command = [self.python, "manage.py", *arguments]
        return subprocess.run(
            command,
            cwd=ROOT,
            env=self.environment,
            check=False,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
        )

    def run(self, code: Any) -> Any:
        """Run Python code in the shop to its end and return what it printed; fail where it fails."""
        done = self.manage("shell", "--no-imports", "-c", code)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    def migrate(self) -> None:
        self.run(MIGRATE)

    def ask(self) -> None:
        """Make a shop with one order and ask for its papers."""
        self.run(ASK)

    def migrate_and_ask(self, times: Any = 1) -> None:
        """Migrate and ask; for several jobs, each asks for something of its own."""
        self.run(MIGRATE + ASK.replace("range(1)", f"range({times})"))

    def runs(self) -> Any:
        """Return the jobs that a worker has begun, in order, repeats included."""
        began = self.data / "runs"
        return began.read_text().split() if began.exists() else []

    def start(self, *arguments: Any, **environment: Any) -> Any:
        """Start one of our own processes; it is killed at the end of the test if it still runs."""
        with (self.data / f"log{len(self.processes)}").open("w+b") as log:
            own = {**self.environment, **environment}
            process = subprocess.Popen(
                [self.python, *arguments], cwd=ROOT, env=own, stdin=subprocess.DEVNULL, stdout=log, stderr=log
            )
        self.processes.append(process)
        return process

    def worker(self, name: Any) -> Any:
        from shop.management.commands.serve import POOL  # needs Django, which the servers alone do not

        return self.start("-m", "celery", "-A", "shop", "worker", *POOL, "-n", name, "-l", "INFO")

    def log(self, process: Any) -> Any:
        return (self.data / f"log{self.processes.index(process)}").read_text()

    def jobs(self) -> Any:
        """Return state and attempts of every job, read past Django."""
        query = "SELECT state, attempts FROM shop_job ORDER BY id"
        if self.database:
            with psycopg.connect(self.database) as connection:
                return connection.execute(query).fetchall()
        rows = sqlite3.connect(self.data / "db.sqlite3", timeout=20)
        try:
            return rows.execute(query).fetchall()
        finally:
            rows.close()

    def job(self) -> Any:
        """Return state and attempts of the first job."""
        return self.jobs()[0]

    def begun_by(self) -> Any:
        """Return the process that began the job, or None."""
        begun = self.data / "begun"
        return int(begun.read_text()) if begun.exists() else None

    def go(self) -> None:
        """Let the job finish."""
        (self.data / "go").touch()

    def close(self) -> None:
        for process in self.processes:
            with suppress(ProcessLookupError):
                process.kill()
            process.wait()


MIGRATE = """
from django.core.management import call_command
call_command("migrate", verbosity=0)
"""
ASK = """
from shop.services import jobs
from shop.models import Customer, Order, Shop
forge = Shop.objects.create(name="Test forge")
customer = Customer.objects.create(shop=forge, name="A. Carpenter", address="1 Plane Street", country="SE")
order = Order.objects.create(customer=customer, number=17)
for copy in range(1):
    jobs.enqueue(shop=forge, order=order, kind="papers", payload={"copy": copy})
"""
