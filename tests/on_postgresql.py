"""Runs pytest on a PostgreSQL server of its own: python -m tests.on_postgresql [pytest's arguments].

The server is started for the length of the run, on a free local port, by a user who is not root. Where PostgreSQL is
not installed, that is said and the exit status is 0.
"""

import os
import subprocess
import sys

from tests.shop.servers import ROOT, postgres, postgres_program


def main(arguments: list[str]) -> int:
    """Run the tests; return pytest's exit status."""
    if not postgres_program("initdb"):
        print("Not run on PostgreSQL: it is not installed (Debian: apt-get install postgresql).")
        return 0
    with postgres() as address:
        print("The same tests on PostgreSQL:", " ".join(arguments) or "the whole suite", flush=True)
        kept = {name: value for name, value in os.environ.items() if name != "CELERY_BROKER_URL"}
        done = subprocess.run(
            [sys.executable, "-m", "pytest", *arguments], cwd=ROOT, env={**kept, "DATABASE_URL": address}, check=False
        )
    print(f"On PostgreSQL: {'passed' if done.returncode == 0 else 'failed'}.")
    return done.returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
