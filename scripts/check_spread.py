"""What `scripts/check-spread` does: kills, breaks off, goes on, compares."""

import logging
import os
import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time

import spread

KILLED = 3


def main(program, cases, workers):
    logging.disable(logging.CRITICAL)  # dying workers are what is wanted
    draw = random.Random(1)
    with tempfile.TemporaryDirectory() as folder:
        single, joined = f"{folder}/single.jsonl", f"{folder}/joined.jsonl"
        statement = "problems/03-flowable-two-fillers.yaml"
        vary = ["--vary", f"air=1 % .. 3 % : {cases}", "--no-proof"]
        asked, options = spread.arguments(
            [statement, joined, "--program", program, "--workers", str(workers), "--shards", str(cases // 10), *vary]
        )
        begun = time.monotonic()
        command = [*spread.command(asked, options)[:-2], "--jobs", str(workers), "-o", single]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        alone = time.monotonic() - begun
        killed, ended = [], []
        with spread.cluster(asked) as client:

            def kill(number):
                ended.append(number)
                if len(ended) % 2 == 0 and len(killed) < KILLED:
                    pid = draw.choice(sorted(client.run(os.getpid).values()))
                    os.kill(pid, signal.SIGKILL)
                    killed.append(pid)

            begun = time.monotonic()
            code = spread.spread(asked, options, client, kill)
            together = time.monotonic() - begun
        assert code == 0, code
        assert len(killed) == KILLED, killed
        same(single, joined)
        print(f"{cases} cases, {workers} workers, {len(killed)} killed: equal to the single run, byte by byte")
        print(f"single run {alone:.1f} s, spread {together:.1f} s of wall clock")

        # The whole run ends in the middle; the next one goes on.
        pathlib.Path(joined).unlink()

        class Enough(Exception):
            pass

        ended.clear()

        def stop(number):
            ended.append(number)
            if len(ended) == 5:
                raise Enough

        with spread.cluster(asked) as client:
            try:
                spread.spread(asked, options, client, stop)
            except Enough:
                pass
        part = pathlib.Path(f"{joined}.part")
        with part.open("a") as file:
            file.write('{"case": 3, "at"')  # as a power cut leaves it
        before = len(part.read_text().splitlines()) - 2
        seen = []
        with spread.cluster(asked) as client:
            assert spread.spread(asked, options, client, seen.append) == 0
        same(single, joined)
        print(f"broken off after {before} cases, then only {len(seen)} shards more: equal again")

        # The same by the script for queues, one task after another, one of them cut off in the middle.
        pathlib.Path(joined).unlink()
        script = pathlib.Path(folder, "job.sh")
        script.write_text(spread.job_array(spread.arguments(
            [statement, joined, "--program", program, "--shards", "5", *vary])[0], options))
        for task in ["1", "2", "3", "4", "5"]:
            environment = {**os.environ, "SLURM_ARRAY_TASK_ID": task}
            if task == "3":
                job = subprocess.Popen(["bash", script], env=environment, stderr=subprocess.DEVNULL, start_new_session=True)
                wait_for_lines(f"{joined}.part-3", 4)
                os.killpg(job.pid, signal.SIGKILL)
                job.wait()
                time.sleep(1)  # until its child has let go of the file
            subprocess.run(["bash", script], env=environment, check=True, stderr=subprocess.DEVNULL)
        parts = sorted(str(part) for part in pathlib.Path(folder).glob("joined.jsonl.part-*"))
        subprocess.run([program, "merge", *parts, "-o", joined], check=True)
        same(single, joined)
        print("job array of 5 tasks, one cut off and submitted again: equal again")


def wait_for_lines(path, count):
    for _ in range(2000):
        if os.path.exists(path) and count <= len(pathlib.Path(path).read_bytes().splitlines()):
            return
        time.sleep(0.005)


def same(single, joined):
    assert pathlib.Path(single).read_bytes() == pathlib.Path(joined).read_bytes(), "the files differ"


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
