#!/usr/bin/env python3
"""The fuzz targets, each for a while, from seeds made of the fixtures.

    python3 tests/fuzz/run.py [--seconds 20] [TARGET ...]

Needs a nightly compiler and `cargo install cargo-fuzz`. Seeds, what the fuzzer adds to them, and an
input that breaks something are kept in the target folder of cargo, apart from the source, so that
the next run begins where this one ended.
"""
import argparse
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WORK = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")).resolve() / "fuzz"
TARGETS = ["records", "words_and_quantities", "tables", "database", "pages", "plans"]
# In the order of `RecordKind::ALL`.
KINDS = ["site", "climate", "weather", "beds", "plantings", "observations", "harvests",
         "amendments", "soil_tests", "treatments", "wishes", "exceptions"]


def records():
    """The first rows of each record file, behind the number of its kind."""
    for garden in sorted((ROOT / "fixtures/gardens").iterdir()):
        for number, kind in enumerate(KINDS):
            path = garden / f"{kind}.csv"
            if path.exists():
                lines = path.read_bytes().splitlines(keepends=True)
                yield bytes([number]) + b"".join(lines[:8])
    for path in sorted((ROOT / "fixtures/errors").rglob("*.csv")):
        stem = path.stem.split("-")[0]
        if stem in KINDS:
            yield bytes([KINDS.index(stem)]) + path.read_bytes()[:2000]


def words_and_quantities():
    for unit in ["m", "ft", "in", "cm", "yd"]:
        for number in ["4", "12.5", "0.05", "1e2", "-3", "3,5", "12 m"]:
            yield f"length_{unit}\n{number}".encode()
    for word in ["2024-02-29", "2023-02-29", "29/2/2024", "Swiss chard", "Céleri-rave", "pak choi's",
                 "Sweet  Peppers", "ﬁne ﬂeece", "e\u0301pinard"]:
        yield word.encode()


def tables():
    """The first rows of each table, citing what the target's few tables know, behind its name."""
    for path in sorted((ROOT / "src/knowledge/tables").glob("*.csv")):
        lines = path.read_text().splitlines()
        yield "\n".join([path.name, *lines[:5]]).encode()
    for row in ["verticillium_dahliae,tomato,host,field,own_trial,read",
                "verticillium_dahliae,oat,nonhost,field,own_trial,read"]:
        yield f"hosts.csv\npathogen,crop,status,basis,source,how\n{row}\n".encode()


def database():
    """A small garden file, and the same with less in it, in the smallest pages there are."""
    for rows in ["", "A,kale,2024-04-02,2024-08-30\nA,leek,2024-09-02,\n"]:
        folder, file = WORK / "small", WORK / "small.breakcrop"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
        file.unlink(missing_ok=True)
        (folder / "beds.csv").write_text("bed,kind,length_m,width_m\nA,ground,4,1\n")
        (folder / "plantings.csv").write_text("bed,crop,planted,removed\n" + rows)
        subprocess.run(["cargo", "run", "--locked", "--quiet", "--bin", "breakcrop", "--", "-g",
                        file, "--today", "2026-10-12", "import", folder], cwd=ROOT, check=True,
                       stdout=subprocess.DEVNULL)
        connection = sqlite3.connect(file, isolation_level=None)
        connection.execute("PRAGMA page_size=512")
        connection.execute("VACUUM")
        connection.close()
        yield file.read_bytes()


def pages():
    yield b"bed\0crop\0kale"
    yield "a long line of words that has to be broken somewhere\0\u202eturned\0\x1b[2Jgone".encode()
    yield "白菜\0e\u0301\0\u200bnothing\0\tx\n".encode()


def plans():
    for first in range(8):
        yield bytes((first * 37 + at * 29) % 251 for at in range(96))


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--seconds", type=int, default=20)
    parser.add_argument("targets", nargs="*", metavar="TARGET", help=", ".join(TARGETS))
    arguments = parser.parse_args()
    for target in arguments.targets or TARGETS:
        corpus, artifacts = WORK / "corpus" / target, WORK / "artifacts" / target
        for folder in [corpus, artifacts]:
            folder.mkdir(parents=True, exist_ok=True)
        count = 0
        for count, seed in enumerate(globals()[target](), 1):
            (corpus / f"seed-{count}").write_bytes(seed)
        print(f"{target}: {count} seeds", flush=True)
        done = subprocess.run(
            ["cargo", "+nightly", "fuzz", "run", "--fuzz-dir", "tests/fuzz", "--target-dir",
             WORK / "build", target, corpus, "--", f"-max_total_time={arguments.seconds}",
             "-rss_limit_mb=1024", "-timeout=20", f"-artifact_prefix={artifacts}/",
             "-print_final_stats=1"], cwd=ROOT, check=False)
        if done.returncode != 0:
            sys.exit(f"{target}: an input under {artifacts} breaks it")


if __name__ == "__main__":
    main()
