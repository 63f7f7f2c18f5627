"""``python -m glazekit.calibration``: print the figures; with ``--write``, fit again and write the tables of data/."""

import argparse
import sys


def main(words: list[str] | None = None) -> int:
    """Run the command; 1 when something needed is missing."""
    parser = argparse.ArgumentParser(prog="python -m glazekit.calibration", description=(__doc__ or "").replace("``", ""))
    parser.add_argument("--write", action="store_true", help="fit again and write the tables of data/")
    chosen = parser.parse_args(words)
    try:
        from glazekit.calibration.directions import direction_lines
        from glazekit.calibration.report import report_lines, write_tables
    except ModuleNotFoundError as missing:
        print(
            f"{missing.name} is missing; install glazekit with its extra 'appendix', from its folder: "
            f'"{sys.executable}" -m pip install ".[appendix]"',
            file=sys.stderr,
        )
        return 1
    if chosen.write:
        for path in write_tables():
            print(f"written: {path.name}")
        print("Now the date in sources.toml (sciglass_open), the checksums (pytest tests/data) and the README's figures.")
    for lines in (report_lines(), direction_lines()):
        for line in lines:
            print(line, flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
