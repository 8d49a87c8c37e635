"""Our plan at its own time against a linear solver at sixty processor seconds, same instances, side
by side.

Makes a throw-away environment with the PyPI package `highspy`, lets the release build write the
linear part of its generated instances (LP format), and solves each.

    python3 tests/plan_against_highs.py [SECONDS] [NAME ...]     NAME like small1 medium2
"""

import os
import re
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

PROJECT = Path(__file__).resolve().parent.parent


def main():
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    wanted = sys.argv[2:]
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        venv.create(folder / "env", with_pip=True)
        python = folder / "env" / "bin" / "python"
        subprocess.run([python, "-m", "pip", "install", "--quiet", "highspy"], check=True)
        subprocess.run(
            ["cargo", "bench", "--bench", "plan_sizes"],
            cwd=PROJECT,
            env={**os.environ, "BREAKCROP_PLAN_EXPORT": str(folder)},
            check=True,
        )
        print(f"{'instance':10} {'our value':>11} {'our bound':>11} {'our s':>7}"
              f" {'its value':>11} {'its bound':>11} {'its s':>7}  ours / its")
        for path in sorted(folder.glob("*.lp")):
            if wanted and path.stem not in wanted:
                continue
            head = path.read_text().split("\n", 1)[0]
            value, bound, ours = map(
                float, re.findall(r"value (\S+) bound (\S+) seconds (\S+)", head)[0]
            )
            solved = subprocess.run(
                [python, "-c", SOLVE, str(path), str(seconds)],
                check=True, capture_output=True, text=True,
            )
            theirs, their_bound, took = map(float, solved.stdout.split()[-3:])
            print(f"{path.stem:10} {value:11.3f} {bound:11.3f} {ours:7.2f}"
                  f" {theirs:11.3f} {their_bound:11.3f} {took:7.2f}  {value / theirs:.4f}",
                  flush=True)


# Processor seconds, not seconds on the clock: a busy machine takes nothing from the solver.
SOLVE = """
import sys, time, highspy
limit = float(sys.argv[2])
solver = highspy.Highs()
solver.setOptionValue('output_flag', False)

def ended(kind, message, out, into, data):
    if time.process_time() > limit:
        into.user_interrupt = True

solver.setCallback(ended, None)
for kind in (highspy.cb.HighsCallbackType.kCallbackMipInterrupt,
             highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt):
    solver.startCallback(kind)
solver.readModel(sys.argv[1])
begun = time.process_time()
solver.run()
info = solver.getInfo()
print(info.objective_function_value, info.mip_dual_bound, time.process_time() - begun)
"""

if __name__ == "__main__":
    main()
