"""Other people's solvers on what mixbound exports: linear and mixed-integer programs, sequential quadratic programming,
differential evolution, a global solver. What enters: exported files. What leaves: goals, points, CPU seconds.
"""

import json
import os
import re
import resource
import subprocess
import time

import numpy as np
from polynomials import Reduced, Whole
from scipy.optimize import differential_evolution, minimize

PROGRAM = os.environ.get("MIXBOUND", "target/release/mixbound")
# A point counts as meeting a row up to this (rows are relative to what is wanted).
MET = 1e-6


def mixbound(*arguments, codes=(0,)):
    """Standard output of mixbound and the CPU seconds it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if run.returncode not in codes:
        raise SystemExit(f"mixbound {' '.join(arguments)} ended with {run.returncode}\n{run.stderr}")
    return run.stdout, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def local_goal(statement):
    """Goal of the answer without proof (infinite without a mix), and its CPU seconds."""
    text, seconds = mixbound("solve", statement, "--no-proof", "--format", "json", codes=(0, 1))
    told = json.loads(text)
    return (told["goal"]["value"] if told["state"] == "best found" else np.inf), seconds


def by_quadratic_programming(whole, starts=3, seed=1):
    """The best point of SLSQP over all patterns of decisions, `starts` starts each: goal, pattern, CPU seconds, runs,
    and the CPU seconds of the starts of the best pattern alone."""
    best, at, runs, alone = np.inf, None, 0, 0.0
    scatter = np.random.default_rng(seed)
    began = time.process_time()
    for taken in whole.patterns():
        problem = Reduced(whole, taken)
        low, high = problem.start_box
        equal = problem.equal
        rows = [
            {
                "type": kind,
                "fun": lambda x, p=problem, w=which: p.at(x)[2][w],
                "jac": lambda x, p=problem, w=which: p.at(x)[3][w],
            }
            for kind, which in (("ineq", ~equal), ("eq", equal))
        ]
        since = time.process_time()
        improved = False
        for start in range(starts):
            runs += 1
            found = minimize(
                lambda x, p=problem: p.at(x)[0],
                0.5 * (low + high) if start == 0 else scatter.uniform(low, high),
                jac=lambda x, p=problem: p.at(x)[1],
                bounds=np.c_[low, high],
                constraints=rows,
                method="SLSQP",
                options={"maxiter": 200, "ftol": 1e-10},
            )
            if problem.violation(problem.at(found.x)[2]) <= MET and found.fun < best:
                best, at, improved = found.fun, taken, True
        if improved:
            alone = time.process_time() - since
    return best, at, time.process_time() - began, runs, alone


def by_evolution(whole, decided=None, seed=1, rounds=2000):
    """Differential evolution over all columns at once, decisions rounded (or taken, if given), rows as a penalty; then
    SLSQP from its best point with its decisions. Goal and CPU seconds."""
    began = time.process_time()
    problem = Reduced(whole, decided)
    decisions = np.isin(problem.free, list(whole.whole))
    # The first equality (the volume) gives the column that fills it most; its bounds become a penalty.
    fill = problem.rows.jacobian(problem.point(0.5 * (problem.low + problem.high)[problem.free]))
    fill = fill[np.flatnonzero(problem.equal)[0]][problem.free]
    filler = int(np.argmax(np.abs(fill) * (problem.high - problem.low)[problem.free]))
    low, high = problem.start_box
    others = np.arange(problem.free.size) != filler

    def full(y):
        x = np.zeros((problem.free.size,) + y.shape[1:])
        x[others] = y
        x[decisions] = np.round(x[decisions])
        rest = problem.rows.values(problem.point(x))[np.flatnonzero(problem.equal)[0]]
        x[filler] = -rest / fill[filler]
        return x

    def merit(y):
        x = full(y)
        point = problem.point(x)
        values = problem.rows.values(point)
        wrong = np.where(problem.equal[:, None], np.abs(values), np.maximum(-values, 0.0))
        outside = np.maximum(low[filler] - x[filler], 0.0) + np.maximum(x[filler] - high[filler], 0.0)
        size = abs(whole.answer.get("goal", 100.0)) + 1.0
        told = problem.goal.values(point)[0] + 20.0 * size * (wrong.sum(axis=0) + outside)
        return np.where(np.isfinite(told), told, 1e12)

    found = differential_evolution(
        merit,
        np.c_[low, high][others],
        rng=seed,
        maxiter=rounds,
        popsize=6,
        tol=1e-8,
        polish=False,
        vectorized=True,
        updating="deferred",
    )
    x = full(found.x[:, None])[:, 0]
    taken = {int(c): float(x[i]) for i, c in enumerate(problem.free) if c in whole.whole}
    for column in whole.whole - set(taken):
        taken[column] = problem.low[column]
    final = Reduced(whole, taken)
    start = problem.point(x)[final.free]
    equal = final.equal
    polished = minimize(
        lambda x: final.at(x)[0],
        np.clip(start, *final.start_box),
        jac=lambda x: final.at(x)[1],
        bounds=np.c_[final.start_box],
        constraints=[
            {"type": "ineq", "fun": lambda x: final.at(x)[2][~equal], "jac": lambda x: final.at(x)[3][~equal]},
            {"type": "eq", "fun": lambda x: final.at(x)[2][equal], "jac": lambda x: final.at(x)[3][equal]},
        ],
        method="SLSQP",
        options={"maxiter": 200, "ftol": 1e-10},
    )
    met = final.violation(final.at(polished.x)[2]) <= MET
    return (polished.fun if met else np.inf), time.process_time() - began


def by_global_solver(path, seconds=60.0, gap=1e-6):
    """SCIP on the whole problem: status, best goal, proven bound, CPU seconds."""
    from pyscipopt import Model

    model = Model()
    model.hideOutput()
    model.readProblem(path)
    model.setParam("limits/time", seconds)
    model.setParam("limits/gap", gap)
    began = time.process_time()
    model.optimize()
    goal = model.getObjVal() if model.getNSols() else np.inf
    return model.getStatus(), goal, model.getDualbound(), time.process_time() - began


def by_linear_solver(path):
    """HiGHS on a linear program in MPS: status, goal, our goal, and by how much our point violates it."""
    import highspy

    solver = highspy.Highs()
    solver.silent()
    if solver.readModel(path) != highspy.HighsStatus.kOk:
        return "unreadable", np.nan, np.nan, np.inf
    solver.run()
    answer = {}
    with open(path, encoding="utf-8") as file:
        for line in file:
            words = line.split()
            if words[:2] == ["*", "answer"]:
                answer[words[2]] = float(words[3])
    program = solver.getLp()
    point = np.array([answer.get(name, 1.0) for name in program.col_names_])
    low, high = np.array(program.col_lower_), np.array(program.col_upper_)
    sums = np.zeros(program.num_row_)
    matrix = program.a_matrix_
    for column in range(program.num_col_):
        for at in range(matrix.start_[column], matrix.start_[column + 1]):
            sums[matrix.index_[at]] += matrix.value_[at] * point[column]
    wrong = [low - point, point - high, np.array(program.row_lower_) - sums, sums - np.array(program.row_upper_)]
    status = solver.modelStatusToString(solver.getModelStatus())
    return status, solver.getInfo().objective_function_value, answer["goal"], max(np.max(w, initial=0.0) for w in wrong)


def perturbed(text, seed, share=0.05, constant=0.01):
    """A statement with every coefficient of its surfaces changed by up to `share`, constants by up to `constant`."""
    scatter = np.random.default_rng(seed)
    number = re.compile(r"([\w*/ ]+):(\s*)(-?\d+(?:\.\d+)?(?:e-?\d+)?)(?=\s*[,}\n]|$)")

    def change(match):
        size = constant if match.group(1).strip() == "constant" else share
        return f"{match.group(1)}:{match.group(2)}{float(match.group(3)) * (1.0 + size * scatter.uniform(-1.0, 1.0))!r}"

    lines, inside = [], None
    for line in text.splitlines(keepends=True):
        depth = len(line) - len(line.lstrip())
        if inside is not None and line.strip() and depth <= inside:
            inside = None
        if line.strip().startswith("terms:"):
            inside = depth
            head, _, rest = line.partition("terms:")
            lines.append(head + "terms:" + number.sub(change, rest))
        elif inside is not None:
            lines.append(number.sub(change, line))
        else:
            lines.append(line)
    return "".join(lines)


def read(path):
    """The whole problem in a file."""
    return Whole(path)
