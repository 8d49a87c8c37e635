#!/usr/bin/env python3
"""Mutation testing of the judging code, a whole sample in one build.

cargo-mutants lists the mutants (`.cargo/mutants.toml` says of which files); a seeded sample of them
is set into a copy of the source, each behind a switch (`src/main.rs` beside this file), built once,
and each is then switched on under the tests that reach it, cheapest first, until one fails.
What cannot be set behind a switch (it does not compile there) is left out and counted.

    python3 tests/mutants/run.py --work /some/folder --sample 200 --seed 1
    python3 tests/mutants/run.py --work /some/folder --names 'replace years -> f64'   # those alone
    python3 tests/mutants/run.py --work /some/folder --again FILE   # mutants that FILE lists

Needs cargo-mutants on the path. Writes `outcomes.csv` into the work folder as it goes. With `--keep`
more tests are tried on what was built before, so that each can be built apart.
"""
import argparse
import csv
import json
import math
import os
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = """lib laid_open judged_by_hand golden_gardens published_intervals published_disease_curves
rule_cases season_properties planted_faults season_situations soil_advice nutrient_ledger
published_covers published_intersow published_arithmetic covers situations published_rotation_yield
published_follow_cases published_model_rotations published_windows published_days_to_maturity
published_emergence properties json_schemas own_choices walked_beds season_command trend report
plan_command plan_garden readme replay cli""".split()
SWITCH = '''
/// Whether this mutant is switched on.
#[doc(hidden)]
#[must_use]
pub fn switched(number: usize) -> bool {
    use std::cell::RefCell;
    use std::io::Write;
    use std::sync::LazyLock;
    static ON: LazyLock<(usize, Option<String>)> = LazyLock::new(|| {
        let on = std::env::var("MUTANT").ok().and_then(|text| text.parse().ok());
        (on.unwrap_or(usize::MAX), std::env::var("MUTANTS_REACHED").ok())
    });
    thread_local! { static SEEN: RefCell<Vec<bool>> = const { RefCell::new(Vec::new()) }; }
    if let Some(path) = &ON.1 {
        let new = SEEN.try_with(|seen| {
            let mut seen = seen.borrow_mut();
            if seen.len() <= number { seen.resize(number + 1, false); }
            !std::mem::replace(&mut seen[number], true)
        });
        if new.unwrap_or(false) {
            let thread = std::thread::current();
            let line = format!("{} {number}\\n", thread.name().unwrap_or("-"));
            let file = std::fs::OpenOptions::new().append(true).create(true).open(path);
            file.expect("opens").write_all(line.as_bytes()).expect("writes");
        }
    }
    ON.0 == number
}
'''


def exact_interval(hits, tries):
    """The 95 % interval of a share after Clopper and Pearson, by bisection."""
    def tail(share, low, high):
        return sum(math.comb(tries, k) * share**k * (1 - share)**(tries - k)
                   for k in range(low, high + 1))

    def solve(above):
        low, high = 0.0, 1.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (low, middle) if above(middle) else (middle, high)
        return low
    lower = 0.0 if hits == 0 else solve(lambda share: tail(share, hits, tries) > 0.025)
    upper = 1.0 if hits == tries else solve(lambda share: tail(share, 0, hits) < 0.025)
    return lower, upper


class Run:
    def __init__(self, work, opt):
        self.work, self.tree = work, work / "tree"
        self.environment = dict(os.environ, INSTA_UPDATE="no", PROPTEST_CASES="16",
                                RUST_BACKTRACE="0", CARGO_INCREMENTAL="0")
        self.config = ["--config", f"profile.dev.package.breakcrop.opt-level={opt}"]

    def set_in(self, mutants, tool):
        """The copy of the source with these mutants; gives the numbers that were set."""
        if self.tree.exists():
            shutil.rmtree(self.tree)
        shutil.copytree(ROOT, self.tree, ignore=shutil.ignore_patterns("target", ".git"))
        self.refresh(mutants, tool)
        with open(self.tree / "src/lib.rs", "a") as file:
            file.write(SWITCH)
        # Programs that the tests start get the switch too.
        support = self.tree / "tests/support/mod.rs"
        support.write_text(support.read_text().replace(
            ".env_clear()", '.env_clear().envs(std::env::vars().filter(|(name, _)| '
            'name.starts_with("MUTANT")))'))

    def refresh(self, mutants, tool):
        by_file = defaultdict(list)
        for mutant in mutants:
            by_file[mutant["file"]].append(mutant)
        for name in {*by_file, *getattr(self, "files", ())}:
            source = (ROOT / name).read_text()
            # A function that is worked out at compile time cannot ask a switch.
            task = {"source": source, "mutants": by_file.get(name, [])}
            done = json.loads(subprocess.run([tool], input=json.dumps(task), text=True, check=True,
                                             stdout=subprocess.PIPE).stdout)
            missing = {m["number"] for m in by_file.get(name, [])} - set(done["set"])
            for number in sorted(missing):
                print("not found in the source:", number, flush=True)
                self.unset.add(number)
            (self.tree / name).write_text(done["source"])
        self.files = set(by_file)

    unset = set()

    def build(self, mutants, tool):
        """Leaves out what does not compile; gives the mutants that are in."""
        # Two iterators of one `impl Iterator` are two types.
        self.unset |= {m["number"] for m in mutants
                       if m["genre"] == "FnValue" and "::std::iter::" in m["replacement"]}
        mutants = [m for m in mutants if m["number"] not in self.unset]
        self.set_in(mutants, tool)
        mutants = [m for m in mutants if m["number"] not in self.unset]
        while True:
            made = subprocess.run(
                ["cargo", "test", "--no-run", "--test", "published_intervals",
                 "--message-format=json", *self.config],
                cwd=self.tree, env=self.environment, text=True, stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL)
            wrong = set()
            unclear = []
            for line in made.stdout.splitlines():
                message = json.loads(line)
                if message.get("reason") != "compiler-message":
                    continue
                message = message["message"]
                if message["level"] != "error":
                    continue
                found = {self.culprit(span) for span in message["spans"] if span["is_primary"]}
                found |= {self.culprit(span) for span in message["spans"]} if found == {None} else set()
                found.discard(None)
                wrong |= found
                # An arm taken away from a match without another is told of at the match's head.
                if not found and (message["code"] or {}).get("code") == "E0004":
                    found = {int(number) for number in
                             re.findall(r"crate::switched\((\d+)\)", message["rendered"])}
                    wrong |= found
                if not found and message["spans"]:
                    unclear.append(message["rendered"])
            if made.returncode == 0:
                return mutants
            if not wrong:
                sys.exit("does not compile, and no mutant to blame:\n" + "\n".join(unclear))
            print("do not compile:", sorted(wrong), flush=True)
            self.unset |= wrong
            mutants = [m for m in mutants if m["number"] not in wrong]
            self.refresh(mutants, tool)

    def kept(self, mutants):
        """The mutants that the source in the folder holds."""
        text = "".join(path.read_text() for path in (self.tree / "src").rglob("*.rs"))
        found = {int(number) for number in re.findall(r"crate::switched\((\d+)\)", text)}
        self.unset = {m["number"] for m in mutants} - found
        return [m for m in mutants if m["number"] in found]

    def culprit(self, span):
        """The mutant whose branch holds this place."""
        text = (self.tree / span["file_name"]).read_bytes()
        at, best = span["byte_start"], None
        for found in re.finditer(rb"crate::switched\((\d+)\)", text):
            if found.start() > span["byte_end"]:
                break
            if found.start() >= at:
                best = int(found[1])
                break
            brace = text.find(b"{", found.end())
            if brace < 0 or brace > found.end() + 2:
                continue
            depth, end = 0, brace
            while end < len(text):
                depth += {123: 1, 125: -1}.get(text[end], 0)
                if depth == 0:
                    break
                end += 1
            if brace <= at <= end:
                best = int(found[1])
        return best

    def binaries(self, tests):
        # The library with its own tests in it is quicker built plain than it saves in running.
        others = [word for test in tests if test != "lib" for word in ("--test", test)]
        calls = [[*others, *self.config]] if others else []
        calls += [["--lib"]] if "lib" in tests else []
        found = {}
        for wanted in calls:
            made = subprocess.run(
                ["cargo", "test", "--no-run", "--message-format=json", *wanted],
                cwd=self.tree, env=self.environment, text=True, stdout=subprocess.PIPE, check=True)
            for line in made.stdout.splitlines():
                message = json.loads(line)
                if message.get("executable") and message["profile"]["test"]:
                    kind = message["target"]["kind"]
                    found["lib" if "lib" in kind else message["target"]["name"]] = (
                        message["executable"])
        return found

    def play(self, binary, names, mutant=None, reached=None, seconds=600):
        """Runs tests one after another; gives the first that failed, and processor seconds."""
        environment = dict(self.environment)
        if mutant is not None:
            environment["MUTANT"] = str(mutant)
        if reached:
            environment["MUTANTS_REACHED"] = str(reached)
        process = subprocess.Popen(
            [binary, "--test-threads=2" if reached is None else "--test-threads=1", *(
                ["--exact", *names] if names else [])],
            cwd=self.tree, env=environment, text=True, errors="replace", stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds)))
        failed = None
        for line in process.stdout:
            match = re.match(r"test (\S+).* \.\.\. FAILED", line)
            if match:
                failed = match[1]
                # Not by the process object, which would take the figures of what it used.
                os.kill(process.pid, signal.SIGKILL)
                break
        process.stdout.close()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = code = os.waitstatus_to_exitcode(status)
        if failed is None and code != 0:
            failed = "timeout" if code in (-24, -9) else f"ended with {code}"
        return failed, used.ru_utime + used.ru_stime


def tried(run, binaries, reach, cost, all_tests, mutant):
    """Runs the tests that reach a mutant, cheapest first, until one fails."""
    reached = reach[mutant["number"]]
    for name in sorted(reached, key=lambda name: cost[name]):
        # What another thread or program reached, any test may have.
        names = sorted(reached[name]) if reached[name] <= all_tests[name] else []
        limit = int(10 * cost[name]) + 5
        failed, _ = run.play(binaries[name], names, mutant["number"], seconds=limit)
        if failed:
            return "caught", f"{name}: {failed}"
    return "survived", "" if reached else "reached by no test"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--work", required=True, type=Path)
    parser.add_argument("--sample", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--names")
    parser.add_argument("--again", type=Path)
    parser.add_argument("--outcomes", default="outcomes.csv", help="name of the file written")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--opt", default="1")
    parser.add_argument("--tests", default=" ".join(TESTS))
    parser.add_argument("--tool", help="the built program of this folder")
    parser.add_argument("--keep", action="store_true",
                        help="the mutants and the source that the folder holds")
    asked = parser.parse_args()
    asked.work.mkdir(parents=True, exist_ok=True)
    work = asked.work.resolve()
    if asked.keep:
        mutants = json.loads((work / "mutants.json").read_text())
        total = "the kept"
    else:
        listed = subprocess.run(["cargo", "mutants", "--list", "--json"], cwd=ROOT, text=True,
                                check=True, stdout=subprocess.PIPE).stdout
        mutants = json.loads(listed)
        total = len(mutants)
    if asked.again:
        with open(asked.again) as file:
            names = {row["mutant"] for row in csv.DictReader(file) if row["outcome"] == "survived"}
        mutants = [mutant for mutant in mutants if mutant["name"] in names]
    elif asked.names:
        mutants = [mutant for mutant in mutants if re.search(asked.names, mutant["name"])]
    elif not asked.keep:
        mutants = random.Random(asked.seed).sample(mutants, min(asked.sample, total))
    if not asked.keep:
        for number, mutant in enumerate(mutants):
            mutant["number"] = number
        (work / "mutants.json").write_text(json.dumps(mutants))
    print(f"{len(mutants)} of {total} mutants", flush=True)
    tool = asked.tool
    if not tool and not asked.keep:
        subprocess.run(["cargo", "build", "--manifest-path",
                        str(ROOT / "tests/mutants/Cargo.toml"), "--target-dir",
                        str(work / "tool")], check=True)
        tool = str(work / "tool/debug/breakcrop-mutants")
    run = Run(work, asked.opt)
    tests = [test for test in asked.tests.split() if test == "lib" or list((ROOT / "tests").glob(f"{test}*"))]
    started = time.time()
    inside = run.kept(mutants) if asked.keep else run.build(mutants, tool)
    binaries = run.binaries(tests)
    print(f"built in {time.time() - started:.0f} s; "
          f"{len(mutants) - len(inside)} cannot be set behind a switch", flush=True)

    # Which tests reach which mutants, and what each costs.
    reach, cost, all_tests = defaultdict(lambda: defaultdict(set)), {}, {}
    for name, binary in binaries.items():
        path, told = work / f"reached-{name}", work / f"cost-{name}"
        if not (told.exists() and told.stat().st_mtime > os.stat(binary).st_mtime):
            path.unlink(missing_ok=True)
            failed, seconds = run.play(binary, [], reached=path)
            if failed:
                sys.exit(f"{name} fails as it is: {failed}")
            told.write_text(f"{seconds:.3f}")
        cost[name] = float(told.read_text())
        listing = subprocess.run([binary, "--list"], cwd=run.tree, text=True,
                                 stdout=subprocess.PIPE).stdout
        all_tests[name] = {line[:-6] for line in listing.splitlines() if line.endswith(": test")}
        for line in path.read_text().splitlines() if path.exists() else ():
            test, number = line.rsplit(" ", 1)
            reach[int(number)][name].add(test)
        print(f"{name}: {cost[name]:.1f} s of processor time", flush=True)

    outcomes = work / asked.outcomes
    counts = defaultdict(int)
    with open(outcomes, "w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["mutant", "outcome", "by"])
        left_out = [m for m in mutants if m["number"] in run.unset]
        for mutant in left_out:
            writer.writerow([mutant["name"], "not set", ""])
        with ThreadPoolExecutor(asked.jobs) as pool:
            futures = {pool.submit(tried, run, binaries, reach, cost, all_tests, mutant): mutant
                       for mutant in inside}
            for future in as_completed(futures):
                mutant, (outcome, by) = futures[future], future.result()
                counts[outcome] += 1
                writer.writerow([mutant["name"], outcome, by])
                file.flush()
                print(f"{outcome:8} {mutant['name']}  {by}", flush=True)
    judged = counts["caught"] + counts["survived"]
    low, high = exact_interval(counts["caught"], judged)
    print(f"{counts['caught']} of {judged} caught, {100 * counts['caught'] / judged:.1f} % "
          f"(95 % interval {100 * low:.1f} to {100 * high:.1f}); {len(left_out)} not set")


if __name__ == "__main__":
    main()
