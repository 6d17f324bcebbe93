"""Plan one order file: ``python -m packing ORDER.json --out DIR``."""

from packing.cli.main import run

if __name__ == "__main__":
    run()
