#!/usr/bin/env python3
"""What importing, checking and auditing cost, beside general-purpose peers in the same run.

    python3 tests/benches/compare.py [--beds 100000] [--rows 10] [--rounds 3] [--growth]

Builds the release binary, makes a garden from a seed, and measures each step in turn, round by
round, so that a busy machine weighs on all of them alike; then every goal with its bound and whether
it is reached. Ratios are of processor time (user and system, threads added up) within a round, the
median over rounds; where it says so, of the time that passed. Peak memory is the process's own.
Peers are run if they are there: the `sqlite3` command, Python's csv and sqlite3 modules, duckdb (in
a throw-away environment: `python3 -m venv X && X/bin/pip install duckdb`, then run this script with
X/bin/python). `--only` takes words of the steps wanted, `--growth` adds 10^4 to 10^6 rows.
"""
import argparse
import json
import os
import platform
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# What our import gives SQLite for its pages, and what its peers get.
OWN_CACHE_KIB = 32768
CACHE_KIB = 65536

SQL_SETUP = f"PRAGMA cache_size=-{CACHE_KIB}; PRAGMA temp_store=MEMORY; PRAGMA foreign_keys=ON;"
# Our import takes the ids that rows refer to from its own hands and does not have each looked up
# again; so may a peer, for those who want to know what that is worth.
UNCHECKED = SQL_SETUP.replace("foreign_keys=ON", "foreign_keys=OFF")

STAGING = """
.mode csv
CREATE TEMP TABLE staged_beds (bed, kind, length_m, width_m, note);
CREATE TEMP TABLE staged (bed, section, crop, variety, method, planted, removed, plants, area_m2,
  residue, note);
.import --skip 1 {folder}/beds.csv staged_beds
.import --skip 1 {folder}/plantings.csv staged
BEGIN IMMEDIATE;
INSERT INTO imports (id, day, folder, knowledge) VALUES (1, 20000, 'x', 'x');
INSERT INTO files (id, import_id, name, kind, header) VALUES (1, 1, 'beds.csv', 'beds', 'x'),
  (2, 1, 'plantings.csv', 'plantings', 'x');
INSERT INTO bed_names (name) SELECT bed FROM staged_beds;
INSERT INTO terms (key) SELECT DISTINCT crop FROM staged;
INSERT INTO beds (file_id, line, identity, digest, as_written, {bed_columns})
  SELECT 1, rowid + 1, random(), random(), bed || ',' || kind || ',' || length_m || ',' || width_m
    || ',' || note, {bed_values} FROM staged_beds;
INSERT INTO plantings (file_id, line, identity, digest, as_written, bed_id, section, crop_id,
  variety, rootstock, resistance, method, planted, removed, plants, area_m2, residue, note)
  SELECT 2, staged.rowid + 1, random(), random(),
    bed || ',' || section || ',' || crop || ',' || variety || ',' || method || ',' || planted || ','
      || removed || ',' || plants || ',' || area_m2 || ',' || residue || ',' || note,
    bed_names.id, nullif(section, ''), terms.id, variety, '', '', nullif(method, ''),
    CAST(julianday(planted) - 2440587.5 AS INTEGER),
    CAST(julianday(nullif(removed, '')) - 2440587.5 AS INTEGER),
    CAST(nullif(plants, '') AS INTEGER), CAST(nullif(area_m2, '') AS REAL), nullif(residue, ''),
    note
  FROM staged JOIN bed_names ON bed_names.name = bed JOIN terms ON terms.key = crop;
COMMIT;
"""

# The return of a crop to its bed within two years: the one question that the peers are asked.
WINDOW = """
SELECT count(*) FROM (SELECT planted - lag(removed) OVER (PARTITION BY bed_id, crop_id
  ORDER BY planted) AS gap FROM plantings) WHERE gap < 730;
"""


class Measured:
    """Processor seconds, wall seconds and peak memory of a run."""

    def __init__(self, cpu, wall, peak_mib, output, code):
        self.cpu, self.wall, self.peak_mib = cpu, wall, peak_mib
        self.output, self.code = output, code


def run(command, stdin=None, allowed=(0,)):
    """Runs a command by way of GNU time where it is installed: the peak memory that the system
    tells of a child is otherwise never less than that of this interpreter."""
    command = [str(part) for part in command]
    if Path("/usr/bin/time").exists():
        command = ["/usr/bin/time", "-f", "peak %M", *command]
    begun = time.monotonic()
    with tempfile.TemporaryFile() as out:
        process = subprocess.Popen(command, stdin=stdin, stdout=out, stderr=subprocess.STDOUT)
        _, status, usage = os.wait4(process.pid, 0)
        wall = time.monotonic() - begun
        process.returncode = os.waitstatus_to_exitcode(status)
        size = out.tell()
        out.seek(max(0, size - 4000) if size > 100000 else 0)
        output = out.read().decode(errors="replace")
    if process.returncode not in allowed:
        sys.exit(f"{command}: code {process.returncode}\n{output[-2000:]}")
    peak = usage.ru_maxrss / (1024 if sys.platform != "darwin" else 1024 * 1024)
    told = [line for line in output.splitlines() if line.startswith("peak ")]
    if told and command[0] == "/usr/bin/time":
        peak = int(told[-1].split()[1]) / 1024
    return Measured(usage.ru_utime + usage.ru_stime, wall, peak, output, process.returncode)


def schema_of(binary, folder):
    """The SQL of a fresh garden file, so that peers fill the very same tables."""
    tiny = folder / "tiny"
    tiny.mkdir(exist_ok=True)
    (tiny / "beds.csv").write_text("bed,kind,length_m,width_m\nA,ground,4,1\n")
    path = folder / "tiny.breakcrop"
    path.unlink(missing_ok=True)
    run([binary, "-g", path, "import", tiny])
    import sqlite3

    connection = sqlite3.connect(path)
    sql = [row[0] for row in connection.execute("SELECT sql FROM sqlite_schema WHERE sql NOT NULL")]
    columns = [row[1] for row in connection.execute("PRAGMA table_info(beds)")]
    return ";\n".join(sql) + ";\n", columns


def python_import(path, folder, schema, setup=SQL_SETUP):
    """Peer: Python's csv and sqlite3, checking as little as the tables allow."""
    import csv
    import datetime
    import random
    import sqlite3

    connection = sqlite3.connect(path, isolation_level=None)
    connection.executescript(setup + schema)
    cursor = connection.cursor()
    cursor.execute("BEGIN IMMEDIATE")
    cursor.execute("INSERT INTO imports (id, day, folder, knowledge) VALUES (1, 20000, 'x', 'x')")
    cursor.execute(
        "INSERT INTO files (id, import_id, name, kind, header) VALUES (2, 1, 'p', 'p', 'x')"
    )
    zero = datetime.date(1970, 1, 1).toordinal()
    beds, terms = {}, {}
    with open(folder / "beds.csv", newline="") as file:
        for row in csv.DictReader(file):
            beds[row["bed"]] = len(beds) + 1
    cursor.executemany("INSERT INTO bed_names (name) VALUES (?)", ((bed,) for bed in beds))

    def day(text):
        return datetime.date.fromisoformat(text).toordinal() - zero if text else None

    def rows():
        with open(folder / "plantings.csv", newline="") as file:
            reader = csv.reader(file)
            next(reader)
            for line, row in enumerate(reader, 2):
                bed, section, crop, variety, method, planted, removed, plants, area, residue, note = row
                if crop not in terms:
                    terms[crop] = len(terms) + 1
                    connection.execute("INSERT INTO terms (key) VALUES (?)", (crop,))
                yield (2, line, random.getrandbits(62), random.getrandbits(62), ",".join(row),
                       beds[bed], section or None, terms[crop], variety, "", "", method or None,
                       day(planted), day(removed), int(plants) if plants else None,
                       float(area) if area else None, residue or None, note)

    cursor.executemany(
        "INSERT INTO plantings (file_id, line, identity, digest, as_written, bed_id, section, "
        "crop_id, variety, rootstock, resistance, method, planted, removed, plants, area_m2, "
        "residue, note) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)", rows())
    cursor.execute("COMMIT")


def duck(path, folder):
    """Peer: duckdb, from the CSV file, the question of the return alone."""
    import duckdb

    print(duckdb.connect().execute(f"""
        SELECT count(*) FROM (SELECT planted - lag(removed) OVER (PARTITION BY bed, crop
        ORDER BY planted) AS gap FROM read_csv('{folder}/plantings.csv')) WHERE gap < 730
    """).fetchall())


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--beds", type=int, default=100000)
    parser.add_argument("--rows", type=int, default=10)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="steps whose names hold one of these words, "
                        "separated by commas")
    parser.add_argument("--growth", action="store_true", help="also 10^4 to 10^6 rows")
    parser.add_argument("--no-build", action="store_true")
    parser.add_argument("--peer", nargs=3, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.peer:
        kind, path, folder = arguments.peer
        if kind.startswith("python"):
            schema = Path(f"{path}.sql").read_text()
            setup = UNCHECKED if kind.endswith("unchecked") else SQL_SETUP
            python_import(path, Path(folder), schema, setup)
        else:
            duck(path, folder)
        return
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release"
    if not arguments.no_build:
        subprocess.run(["cargo", "build", "--release", "--bins", "--example", "workload"],
                       cwd=ROOT, check=True)
    binary, workload = target / "breakcrop", target / "examples" / "workload"
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, "
          f"{time.strftime('%Y-%m-%d %H:%M')}, {arguments.beds} beds x {arguments.rows} plantings")
    with tempfile.TemporaryDirectory() as scratch:
        measure(arguments, Path(scratch), binary, workload)


def measure(arguments, scratch, binary, workload):
    folder = scratch / "garden"
    run([workload, "generate", folder, str(arguments.beds), str(arguments.rows),
         str(arguments.seed)])
    # Peers import beds and plantings; so does the import that is held against them.
    pair = scratch / "pair"
    pair.mkdir()
    for name in ["beds.csv", "plantings.csv"]:
        os.link(folder / name, pair / name)
    schema, bed_columns = schema_of(binary, scratch)
    whole = scratch / "whole.breakcrop"
    run([binary, "-g", whole, "import", folder])
    rows = arguments.beds * arguments.rows
    own = [name for name in bed_columns if name in ("kind", "length_m", "width_m", "note")]
    named = [name for name in bed_columns if name in ("name_id", "bed_id")]
    bed_values = {"kind": "kind", "length_m": "CAST(length_m AS REAL)",
                  "width_m": "CAST(width_m AS REAL)", "note": "note"}
    columns = ", ".join(named + own)
    values = ", ".join(
        ["(SELECT id FROM bed_names WHERE name = bed)" for _ in named]
        + [bed_values[name] for name in own])
    staging = STAGING.format(folder=pair, bed_columns=columns, bed_values=values)

    def fresh(name):
        path = scratch / name
        for ending in ["", "-journal"]:
            Path(f"{path}{ending}").unlink(missing_ok=True)
        return path

    def sqlite_import(setup=SQL_SETUP):
        script = scratch / "staging.sql"
        script.write_text(setup + schema + staging)
        with open(script) as file:
            measured = run(["sqlite3", "-bail", str(fresh("peer.db"))], stdin=file)
        return measured

    def python_peer(kind="python"):
        path = fresh("python.db")
        Path(f"{path}.sql").write_text(schema)
        return run([sys.executable, __file__, "--peer", kind, path, pair])

    def window():
        return run(["sqlite3", str(whole), SQL_SETUP + WINDOW])

    def duck_peer():
        return run([sys.executable, __file__, "--peer", "duck", "-", folder])

    day = ["--today", "2026-10-12"]
    steps = {
        "nothing (start of a process)": lambda: run([workload, "nothing"]),
        "/bin/true": lambda: run(["/bin/true"]),
        "csv crate, bare": lambda: run([workload, "bare", pair / "plantings.csv"]),
        "parse + validate": lambda: run([workload, "check", pair]),
        "import": lambda: run([binary, "-g", fresh("own.breakcrop"), *day, "import", pair]),
        "sqlite3 staging import": sqlite_import if shutil.which("sqlite3") else None,
        "python csv + sqlite3": python_peer,
        "sqlite3, references unchecked":
            (lambda: sqlite_import(UNCHECKED)) if shutil.which("sqlite3") else None,
        "python, references unchecked": lambda: python_peer("python-unchecked"),
        "bare SELECT": lambda: run([workload, "select", whole]),
        "audit, all rules": lambda: run([binary, "-g", whole, *day, "audit"], allowed=(0, 1)),
        "one SQL window query": window if shutil.which("sqlite3") else None,
        "duckdb, the return alone": duck_peer if has("duckdb") else None,
        "doctor": lambda: run([binary, "-g", whole, "doctor"]),
    }
    def wanted(name):
        return any(word in name for word in arguments.only.split(","))

    steps = {name: step for name, step in steps.items() if step and wanted(name)}
    found = {name: [] for name in steps}
    for _ in range(arguments.rounds):
        for name, step in steps.items():
            found[name].append(step())
    print(f"{'step':32} {'cpu s':>8} {'wall s':>8} {'peak MiB':>9} {'us a row':>9}")
    for name, all_of in found.items():
        cpu = statistics.median(one.cpu for one in all_of)
        wall = statistics.median(one.wall for one in all_of)
        peak = max(one.peak_mib for one in all_of)
        print(f"{name:32} {cpu:8.2f} {wall:8.2f} {peak:9.0f} {cpu / rows * 1e6:9.2f}")

    verdicts = Verdicts()

    def ratio(what, one, other, most=None, part=lambda measured: measured.cpu):
        if one in found and other in found:
            pairs = [part(a) / max(part(b), 1e-9) for a, b in zip(found[one], found[other])]
            verdicts.say(what, statistics.median(pairs), most)

    def passed(measured):
        return measured.wall

    print(f"\n{'goal':58} {'measured':>9}   bound, verdict")
    ratio("parse + validate / bare csv parse", "parse + validate", "csv crate, bare", 4)
    ratio("import / parse + validate", "import", "parse + validate", 10)
    ratio("import / sqlite3 staging import", "import", "sqlite3 staging import", 0.65)
    ratio("import / python csv + sqlite3", "import", "python csv + sqlite3", 0.45)
    ratio("  the same, time that passed", "import", "python csv + sqlite3", part=passed)
    ratio("import / sqlite3, references unchecked", "import", "sqlite3, references unchecked")
    ratio("import / python, references unchecked", "import", "python, references unchecked")
    if "import" in found:
        peak = max(one.peak_mib for one in found["import"])
        verdicts.say("import, MiB at its peak beside SQLite's cache", peak - OWN_CACHE_KIB / 1024, 32)
    ratio("audit, all rules / bare SELECT", "audit, all rules", "bare SELECT", 3)
    ratio("  the same, time that passed", "audit, all rules", "bare SELECT", 3, passed)
    ratio("audit, all rules / one SQL window query", "audit, all rules", "one SQL window query", 1)
    ratio("audit, all rules / duckdb, the return alone", "audit, all rules",
          "duckdb, the return alone", 1)
    if "audit, all rules" in found:
        base = run([binary, "-g", scratch / "tiny.breakcrop", *day, "audit"], allowed=(0, 1))
        peak = max(one.peak_mib for one in found["audit, all rules"])
        verdicts.say("audit, bytes a planting above an empty garden",
                     (peak - base.peak_mib) * 1048576 / rows, 40)
    if wanted("start"):
        start(scratch, binary, workload, day, verdicts)
    if wanted("judgment"):
        judgment(scratch, binary, workload, day, verdicts)
    if arguments.growth:
        growth(scratch, binary, workload, day, verdicts)
    print(f"\n{verdicts.reached} goals reached, {verdicts.missed} missed")
    print("by other commands: plans of three sizes, `cargo bench --bench plan_sizes`; many gardens, "
          "tests/benches/spark.py; mutants, tests/mutants/run.py")


class Verdicts:
    """Goals as they are held against what was measured."""

    def __init__(self):
        self.reached, self.missed = 0, 0

    def say(self, what, value, most=None):
        """`most` is the bound; a figure without one is only told."""
        told = ""
        if most is not None:
            is_reached = value <= most
            self.reached += is_reached
            self.missed += not is_reached
            told = f"at most {most:g}: {'reached' if is_reached else 'MISSED'}"
        print(f"{what:58} {value:9.2f}   {told}".rstrip(), flush=True)


def start(scratch, binary, workload, day, verdicts):
    """Commands on 10,000 plantings, in multiples of the time in which `/bin/true` passes. The work
    itself is what the library does for the same answer, told by the workload in two parts: reading
    (the tables, and those records that the command reads: all for `beds`, one bed's for `follow`) and
    reckoning (the state of each bed; every crop judged). The bound holds for all but the reading, so
    that what is reckoned counts; what is then left, the start and the printing, is told."""
    folder, path = scratch / "g10000", scratch / "g10000.breakcrop"
    run([workload, "generate", folder, "1000", "10", "1"])
    run([binary, "-g", path, *day, "import", folder])
    commands = {
        "true": ["/bin/true"],
        "--version": [binary, "--version"],
        "beds": [binary, "-g", path, *day, "beds"],
        "follow B7": [binary, "-g", path, *day, "follow", "B7"],
    }
    answers = ["beds", "follow B7"]
    times, work = {name: [] for name in commands}, {name: [] for name in answers}
    for _ in range(15):
        for name, command in commands.items():
            begun = time.monotonic()
            subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
            times[name].append((time.monotonic() - begun) * 1000)
        for name in answers:
            told = run([workload, "answer", path, *name.split()]).output.split()
            work[name].append((float(told[0]), float(told[1])))
    times = {name: statistics.median(of) for name, of in times.items()}
    work = {name: [statistics.median(part) for part in zip(*of)] for name, of in work.items()}
    print(f"/bin/true {times['true']:.2f} ms, the program's start {times['--version']:.1f} ms")
    verdicts.say("start of the program / /bin/true, time that passed",
                 times["--version"] / times["true"], 10)
    for name in answers:
        read, reckoned = work[name]
        print(f"`{name}` {times[name]:.1f} ms, of it reading {read:.1f}, reckoning {reckoned:.1f}")
        verdicts.say(f"`{name}` on 10,000 plantings / /bin/true", times[name] / times["true"])
        verdicts.say(f"`{name}` without its reading / /bin/true",
                     (times[name] - read) / times["true"], 10)
        verdicts.say("  and without its reckoning",
                     (times[name] - read - reckoned) / times["true"])


def judgment(scratch, binary, workload, day, verdicts):
    """One crop proposed for one bed of the demo garden."""
    path = scratch / "demo.breakcrop"
    run([binary, "-g", path, *day, "import", ROOT / "fixtures/gardens/gullcombe_terrace"])
    told = run([workload, "assess", path]).output.split()
    verdicts.say("one judgment, microseconds", float(told[0]), 50)
    verdicts.say("judgments a second on one core", 1e6 / float(told[0]))


def has(module):
    try:
        __import__(module)
        return True
    except ImportError:
        return False


def growth(scratch, binary, workload, day, verdicts):
    """Time and memory from 10^4 to 10^6 plantings, with the exponent fitted: 1 is linear."""
    import math

    print("\ngrowth: plantings, import cpu s, peak MiB, audit cpu s, peak MiB")
    points = {"import": [], "audit": []}
    for beds in [1000, 3162, 10000, 31623, 100000]:
        folder, path = scratch / f"g{beds}", scratch / f"g{beds}.breakcrop"
        run([workload, "generate", folder, str(beds), "10", "1"])
        imported = run([binary, "-g", path, *day, "import", folder])
        audited = run([binary, "-g", path, *day, "audit"], allowed=(0, 1))
        print(f"{beds * 10:9} {imported.cpu:9.2f} {imported.peak_mib:7.0f} "
              f"{audited.cpu:9.2f} {audited.peak_mib:7.0f}")
        points["import"].append((math.log(beds), math.log(imported.cpu)))
        points["audit"].append((math.log(beds), math.log(audited.cpu)))
        shutil.rmtree(folder)
        path.unlink()
    for name, pairs in points.items():
        mean = [sum(values) / len(pairs) for values in zip(*pairs)]
        slope = (sum((x - mean[0]) * (y - mean[1]) for x, y in pairs)
                 / sum((x - mean[0]) ** 2 for x, _ in pairs))
        verdicts.say(f"{name}: time grows as rows to the power of", slope, 1.05)


if __name__ == "__main__":
    main()
