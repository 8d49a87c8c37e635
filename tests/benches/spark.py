#!/usr/bin/env python3
"""Many gardens through Apache Spark, and through one process: the same answers, both times.

    python3 -m venv X && X/bin/pip install pyspark     # needs Java on the machine
    X/bin/python tests/benches/spark.py [--gardens 100000]

A garden is one JSON line and knows nothing of the others, so that Spark's `RDD.pipe` carries the
program as it is: each partition is piped through one process of it, and the order is kept. On a
cluster, ship the binary with `--files breakcrop` and read the lines from the cluster's storage;
here `local[*]` takes the cores of this machine.
"""
import argparse
import hashlib
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--gardens", type=int, default=100000)
    parser.add_argument("--beds", type=int, default=2)
    parser.add_argument("--rows", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--no-build", action="store_true")
    arguments = parser.parse_args()
    if not arguments.no_build:
        subprocess.run(["cargo", "build", "--release", "--bins", "--example", "workload"],
                       cwd=ROOT, check=True)
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release"
    command = f"{target / 'breakcrop'} --today 2026-10-12 audit --stream --most 3"
    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        lines = scratch / "gardens.jsonl"
        with open(lines, "wb") as out:
            subprocess.run([target / "examples" / "workload", "lines", str(arguments.gardens),
                            str(arguments.beds), str(arguments.rows), str(arguments.seed)],
                           stdout=out, check=True)
        print(f"{arguments.gardens} gardens, {lines.stat().st_size / 1e6:.0f} MB, "
              f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}", flush=True)
        begun = time.monotonic()
        with open(lines, "rb") as given, open(scratch / "alone", "wb") as out:
            subprocess.run(command.split(), stdin=given, stdout=out, check=True)
        alone = time.monotonic() - begun
        print(f"one process: {alone:.1f} s", flush=True)
        begun = time.monotonic()
        through_spark(command, lines, scratch / "spark")
        spark = time.monotonic() - begun
        print(f"Spark, local[*]: {spark:.1f} s, its start included")
        one, count = digest([scratch / "alone"])
        other, _ = digest(sorted((scratch / "spark").glob("part-*")))
        if one != other:
            sys.exit("the answers differ")
        print(f"the same {count} answers in the same order, sha256 {one[:16]}")


def through_spark(command, lines, out):
    from pyspark import SparkConf, SparkContext

    conf = (SparkConf().setMaster("local[*]").setAppName("gardens")
            .set("spark.ui.enabled", "false"))
    context = SparkContext(conf=conf)
    context.setLogLevel("ERROR")
    gardens = context.textFile(f"file://{lines}", minPartitions=2 * (os.cpu_count() or 1))
    gardens.pipe(command, checkCode=True).saveAsTextFile(f"file://{out}")
    context.stop()


def digest(files):
    """Of the answers in their order, without the line number, which each process counts anew."""
    import json

    summed, count = hashlib.sha256(), 0
    for file in files:
        with open(file, "rb") as lines:
            for line in lines:
                answer = json.loads(line)
                del answer["line"]
                summed.update(json.dumps(answer, sort_keys=True).encode())
                count += 1
    return summed.hexdigest(), count


if __name__ == "__main__":
    main()
