"""Shards of a sweep on a Dask cluster, their lines in one file as they come; `scripts/spread` says how it is used."""

import argparse
import json
import os
import pathlib
import shlex
import subprocess
import sys
import tempfile
import time

CASES_OF_A_SHARD = 16
TRIES = 10


def arguments(words):
    parser = argparse.ArgumentParser(prog="scripts/spread")
    parser.add_argument("statement")
    parser.add_argument("results")
    parser.add_argument("--shards", type=int)
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--scheduler")
    parser.add_argument("--program", default="target/release/mixbound")
    parser.add_argument("--job-array", action="store_true")
    return parser.parse_known_args(words)


def command(asked, options):
    return [os.path.abspath(asked.program), "sweep", os.path.abspath(asked.statement), *options, "--jobs", "1"]


def header(sweep):
    """The first line of the results file: a shard beyond the last case holds nothing else."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "none.jsonl")
        ended = subprocess.run([*sweep, "--shard", "1000000/1000000", "-o", path], stdout=subprocess.DEVNULL)
        if ended.returncode > 1 or not os.path.exists(path):
            sys.exit(ended.returncode or 3)
        line = json.loads(pathlib.Path(path).read_text().splitlines()[0])
    line.pop("shard", None)
    return line


def solved(sweep, number, shards):
    """Runs on a worker: one shard, one thread. Its exit code, seconds of CPU, and lines without the first."""
    before = os.times()
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "part.jsonl")
        ended = subprocess.run(
            [*sweep, "--shard", f"{number}/{shards}", "-o", path],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        lines = pathlib.Path(path).read_text().splitlines(True)[1:] if os.path.exists(path) else []
    after = os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    if ended.returncode < 0:
        raise RuntimeError(f"shard {number} was ended by signal {-ended.returncode}")
    return number, ended.returncode, spent, lines, ended.stderr[-2000:]


def finished(part, head, shards):
    """Shards of which every case is in the file already; what was cut off in the middle is left out."""
    if not part.exists():
        return set(), []
    kept = part.read_text().splitlines(True)
    if not kept or json.loads(kept[0]) != head:
        sys.exit(f"error: {part} belongs to another sweep; take it away, or name another results file")
    lines = {}
    for line in kept[1:]:
        try:
            lines[json.loads(line)["case"]] = line
        except ValueError:
            break
    whole = {
        number
        for number in range(1, shards + 1)
        if all(case in lines for case in range(number, head["cases"] + 1, shards))
    }
    return whole, [line for case, line in sorted(lines.items()) if (case - 1) % shards + 1 in whole]


def spread(asked, options, client, watched=lambda number: None):
    """Solves what is missing, adds each shard to the file as it ends, joins. `watched` is told of each. The exit code."""
    import cloudpickle
    from dask.distributed import as_completed

    # Workers elsewhere have no such module.
    cloudpickle.register_pickle_by_value(sys.modules[solved.__module__])
    sweep = command(asked, options)
    head = header(sweep)
    cases = head["cases"]
    shards = min(asked.shards or -(-cases // CASES_OF_A_SHARD), cases)
    part = pathlib.Path(f"{asked.results}.part")
    whole, lines = finished(part, head, shards)
    done, worst, spent, begun = len(lines), 0, 0.0, time.monotonic()
    rewritten = part.with_suffix(".rewritten")
    rewritten.write_text(json.dumps(head, separators=(",", ":"), ensure_ascii=False) + "\n" + "".join(lines))
    rewritten.replace(part)
    open_shards = [number for number in range(1, shards + 1) if number not in whole]
    futures = [client.submit(solved, sweep, number, shards, pure=False, retries=TRIES) for number in open_shards]
    with part.open("a") as file:
        for future in as_completed(futures):
            number, code, seconds, some, told = future.result()
            if code > 1:
                sys.stderr.write(told)
                client.cancel(futures)
                return code
            file.write("".join(some))
            file.flush()
            os.fsync(file.fileno())
            done, worst, spent = done + len(some), max(worst, code), spent + seconds
            future.release()
            left = (time.monotonic() - begun) / max(done - len(lines), 1) * (cases - done)
            sys.stderr.write(f"\r{done} of {cases} cases, {spent:.0f} s of CPU, about {left:.0f} s left   ")
            sys.stderr.flush()
            watched(number)
    sys.stderr.write("\n")
    merged = subprocess.run([os.path.abspath(asked.program), "merge", str(part), "-o", asked.results]).returncode
    if merged == 0:
        part.unlink()
        print(f"{cases} cases in {shards} shards, {spent:.1f} s of CPU, joined in {asked.results}")
    return max(merged, worst)


def cluster(asked):
    """A client of the scheduler asked for, or of a cluster on this machine."""
    import dask
    from dask.distributed import Client, LocalCluster

    # A shard that was on several dying workers is not to blame for them.
    dask.config.set({"distributed.scheduler.allowed-failures": TRIES})
    if asked.scheduler:
        return Client(asked.scheduler)
    return Client(LocalCluster(n_workers=asked.workers, threads_per_worker=1, dashboard_address=":0"))


def job_array(asked, options):
    """A script for clusters with a queue: one shard a task, joined afterwards."""
    sweep = command(asked, options)
    cases = header(sweep)["cases"]
    shards = min(asked.shards or -(-cases // CASES_OF_A_SHARD), cases)
    results = os.path.abspath(asked.results)
    statement = sweep.index("sweep")
    quoted = " ".join(shlex.quote(word) for word in sweep)
    merge = " ".join(shlex.quote(word) for word in [*sweep[:statement], "merge"])
    return f"""#!/bin/bash
#SBATCH --array=1-{shards}
#SBATCH --ntasks=1 --cpus-per-task=1
#PBS -J 1-{shards}
#$ -t 1-{shards}
# {cases} cases in {shards} shards. Submit it as an array; after the last task run
#   {merge} {shlex.quote(results)}.part-* -o {shlex.quote(results)}
# A task that was cut off goes on where it stood when the array is submitted again.
set -eu
task=${{SLURM_ARRAY_TASK_ID:-${{PBS_ARRAY_INDEX:-${{SGE_TASK_ID:?run this as an array job}}}}}}
part={shlex.quote(results)}.part-$task
if [ -s "$part" ]; then where=(--resume "$part"); else where=(-o "$part"); fi
code=0
{quoted} --shard "$task/{shards}" "${{where[@]}}" > /dev/null || code=$?
[ "$code" -le 1 ]    # 1: some case has no mix, and its line says so
"""


if __name__ == "__main__":
    asked, options = arguments(sys.argv[1:])
    if asked.job_array:
        print(job_array(asked, options), end="")
        sys.exit(0)
    with cluster(asked) as client:
        code = spread(asked, options, client)
    sys.exit(code)
