"""Serves the web application and its worker until Ctrl-C or TERM."""

import signal
import threading
import time
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, call_command
from django.core.management.base import CommandParser
from django.core.wsgi import get_wsgi_application
from django.db import DatabaseError
from django.urls import reverse
from waitress.task import ThreadedTaskDispatcher

from shop.access import first_owner
from shop.config import environment
from shop.models import Shop
from shop.worker.server import LOCK, AlreadyRunning, Child, Hold, listen
from shop.worker.web_server import make_server

END_WITHIN_S = 3.0
"""Ctrl-C should feel like an end: a demonstration that is still being planned is given up after this."""
# Jobs run in a thread: the main one heeds signals even while a job is deep in compiled code.
POOL = ["--pool", "threads", "--concurrency", "1"]
WORKER = ["-m", "celery", "-A", "shop", "worker", *POOL, "--hostname", "stowright@%h", "--loglevel", "WARNING"]
QUIET = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
"""One worker beside one server has nobody to gossip with."""


class Command(BaseCommand):
    """Migrates, loads the demo once, then serves."""

    help = "Migrate, load the demo once, then serve the web application and its worker until Ctrl-C or TERM."

    def add_arguments(self, parser: CommandParser | ArgumentParser) -> None:
        parser.add_argument("--without-demo", action="store_true", help="Do not load the demo into an empty shop.")
        parser.add_argument("--out", default="", help="Folder for the demo's papers (out/).")

    def handle(self, *args: Any, **options: Any) -> None:
        host = settings.HOST
        port = environment.whole("PORT", 8000, least=1, most=65535)
        self._stop = threading.Event()
        for number in (signal.SIGINT, signal.SIGTERM):
            # Only noted here: ending in order takes longer than a signal's handler should.
            signal.signal(number, lambda *_: self._stop.set())
        papers = ["--out", options["out"]] if options["out"] else []
        hold = self._hold()
        try:
            self._migrate()
            if not options["without_demo"]:
                self._demo_once(papers)
            if not self._stop.is_set():
                self._serve(hold, host, port)
        finally:
            hold.release()

    def _hold(self) -> Hold:
        try:
            return Hold(settings.DATA_DIR / LOCK)
        except AlreadyRunning as other:
            where = f"at {other}" if str(other) else "and is still starting"
            raise CommandError(f"Stowright is already running {where} (data folder {settings.DATA_DIR}).") from other

    def _migrate(self) -> None:
        try:
            call_command("migrate", verbosity=0, interactive=False)
        except DatabaseError as error:
            raise CommandError(f"The database does not answer: {error}") from error

    def _demo_once(self, papers: list[str]) -> None:
        """Load the demo into an empty shop, or finish what an earlier start was stopped in the middle of."""
        begun: Path = settings.DATA_DIR / "demo-begun"
        if Shop.objects.exists() and not begun.exists():
            return
        begun.touch()
        demo = Child(["manage.py", "demo", *papers], folder=settings.BASE_DIR)
        while demo.process.poll() is None:
            if self._stop.wait(0.1):
                demo.ask_to_end()
                demo.end(within_s=END_WITHIN_S)
                return
        if demo.process.returncode == 0:
            begun.unlink()
        else:
            self.stderr.write("The demo could not be finished; the reason stands above. Serving without it.")

    def _serve(self, hold: Hold, host: str, port: int) -> None:
        try:
            listener = listen(host, port)
        except OSError as error:
            raise CommandError(f"Port {port} of {host} cannot be served: {error.strerror}.") from error
        server = make_server(get_wsgi_application(), listener, proxy=settings.PROXY)
        # A daemon: a request that hangs must not keep the process.
        web = threading.Thread(target=server.run, name="web", daemon=True)
        web.start()
        worker = Child([*WORKER, *QUIET], folder=settings.BASE_DIR, log=settings.DATA_DIR / "logs" / "worker.log")
        try:
            self._announce(hold, host, port, listener.getsockname()[1])
            while not self._stop.wait(0.5) and web.is_alive():
                self._look_after(worker)
        finally:
            self._end(worker, server.task_dispatcher)
        if not self._stop.is_set():
            raise CommandError("The web server broke off; the reason stands above.")

    def _look_after(self, worker: Child) -> None:
        status = worker.keep_going()
        if status is not None:
            self.stderr.write(f"The worker ended ({status}) and is started again; see {settings.DATA_DIR}/logs.")

    def _end(self, worker: Child, requests: ThreadedTaskDispatcher) -> None:
        deadline = time.monotonic() + END_WITHIN_S
        self.stdout.write("Stopping; a running job is handed back.")
        # First, for it takes the longest: requests are seen to while it hands its job back.
        worker.ask_to_end()
        requests.shutdown(timeout=1)
        if not worker.end(within_s=deadline - time.monotonic()):
            self.stderr.write("The worker did not end in time and was killed.")

    def _announce(self, hold: Hold, host: str, wanted: int, port: int) -> None:
        # 0.0.0.0 stands for every address of this machine, and a browser cannot be sent there.
        shown = "127.0.0.1" if host == "0.0.0.0" else host
        address = f"http://{shown}:{port}/"
        hold.publish(address)
        lines = [f"Stowright is at {address} (Ctrl-C stops it). Its data is in {settings.DATA_DIR}."]
        if port != wanted:
            lines.insert(0, f"Port {wanted} is taken.")
        invented = ", ".join(Shop.objects.filter(is_demo=True).values_list("name", flat=True))
        if invented:
            lines.insert(0, f"{invented}: invented for demonstration, with all its tools, customers and orders.")
        token = first_owner.first_owner_link()
        if token:
            link = address.rstrip("/") + reverse("first-owner", args=[token])
            lines.append(f"Nobody can log in yet. This link makes the first owner, once: {link}")
            lines.append("It works for an hour; start again for another one.")
        self.stdout.write("\n".join(lines))
        self.stdout.flush()
