"""Reads a whole problem as `mixbound export --what full` writes it, and evaluates it with gradients.

What enters: a file in the PIP format whose comments are those of the README's section "Exports". What leaves: columns,
rows, and for each pattern of decisions the problem in its free columns alone, where every column that a row defines has
been computed from the others. Nothing of a problem is retyped here.
"""

import itertools

import numpy as np


class Whole:
    """A polynomial problem: columns with bounds, an objective to minimise, rows `sum of terms (sense) side`."""

    def __init__(self, path):
        self.names, self.low, self.high, self.whole = [], [], [], set()
        self.rows, self.objective, self.constant = [], [], 0.0
        self.answer, self.defines = {}, {}
        self.index = {}
        sections = {"Minimize": [], "Subject to": [], "Bounds": [], "Binaries": []}
        section = None
        with open(path, encoding="utf-8") as file:
            for line in file:
                if line.startswith("\\"):
                    self._comment(line[1:].split())
                    continue
                line = line.split("\\")[0].strip()
                if line in sections or line == "End":
                    section = line
                elif line:
                    sections[section].append(line)
        for line in sections["Bounds"]:
            low, _, name, _, high = line.split()
            self.index[name] = len(self.names)
            self.names.append(name)
            self.low.append(float(low))
            self.high.append(float(high))
        self.whole = {self.index[name] for name in sections["Binaries"]}
        self._expressions(sections["Minimize"], sections["Subject to"])
        self.definitions = [
            (self.index[column], next(i for i, row in enumerate(self.rows) if row[0] == name))
            for column, name in self.defines.items()
        ]

    def _comment(self, words):
        if words[:1] == ["answer"]:
            self.answer[words[1]] = float(words[2])
        elif words[:1] == ["define"]:
            self.defines[words[1]] = words[3]

    def _expressions(self, objective, rows):
        _, terms, _, _ = self._row(" ".join(objective).split())
        self.constant = sum(factor for factor, product in terms if not product)
        self.objective = [(factor, product) for factor, product in terms if product]
        words = " ".join(rows).split()
        starts = [i for i, word in enumerate(words) if word.endswith(":")] + [len(words)]
        self.rows = [self._row(words[a:b]) for a, b in itertools.pairwise(starts)]

    def _row(self, words):
        name, terms, sense, side = words[0][:-1], [], None, 0.0
        factor, product, sign = None, [], 1.0
        for word in words[1:]:
            if word in ("+", "-", "=", ">=", "<="):
                if factor is not None:
                    terms.append((sign * factor, tuple(product)))
                factor, product = None, []
                if word in ("+", "-"):
                    sign = -1.0 if word == "-" else 1.0
                else:
                    sense, sign = word, 1.0
            elif sense is not None:
                side = float(word)
            elif word in self.index:
                product.append(self.index[word])
                factor = 1.0 if factor is None else factor
            else:
                factor = float(word)
        if factor is not None:
            terms.append((sign * factor, tuple(product)))
        return name, terms, sense, side

    def patterns(self):
        """All decisions that obey the rows about decisions alone."""
        decisions = sorted(self.whole)
        logic = [row for row in self.rows if row[1] and all(set(p) <= self.whole and p for _, p in row[1])]
        for values in itertools.product((0.0, 1.0), repeat=len(decisions)):
            taken = dict(zip(decisions, values))
            if all(_holds(sum(f * np.prod([taken[c] for c in p]) for f, p in row[1]), row) for row in logic):
                yield taken


def _holds(value, row):
    _, _, sense, side = row
    gap = value - side
    return {"=": abs(gap) < 1e-9, ">=": gap > -1e-9, "<=": gap < 1e-9}[sense]


class Sums:
    """Many polynomials at once, over many points at once, with gradients."""

    def __init__(self, polynomials, columns):
        terms = [(row, f, p) for row, terms in enumerate(polynomials) for f, p in terms]
        degree = max([len(p) for _, _, p in terms] + [1])
        self.count, self.columns = len(polynomials), columns
        self.row = np.array([row for row, _, _ in terms], dtype=int)
        self.factor = np.array([f for _, f, _ in terms])
        self.product = np.array(
            [list(p) + [columns] * (degree - len(p)) for _, _, p in terms], dtype=int
        ).reshape(len(terms), degree)
        self.adder = np.zeros((self.count, len(terms)))
        self.adder[self.row, np.arange(len(terms))] = 1.0
        self.place = [self.row * (columns + 1) + self.product[:, k] for k in range(degree)]

    def values(self, point):
        """`point` has one more entry (or row) than columns: the number one."""
        return self.adder @ (self.factor.reshape((-1,) + (1,) * (point.ndim - 1)) * point[self.product].prod(axis=1))

    def jacobian(self, point):
        values, total = point[self.product], np.zeros(self.count * (self.columns + 1))
        for k, place in enumerate(self.place):
            others = np.delete(values, k, axis=1).prod(axis=1) if values.shape[1] > 1 else 1.0
            total += np.bincount(place, weights=self.factor * others, minlength=total.size)
        return total.reshape(self.count, self.columns + 1)[:, :-1]


class Reduced:
    """One pattern's problem in its free columns: defined columns follow, decisions are taken.

    With `taken` None the decisions are free columns as well (for methods that search over them).
    """

    def __init__(self, whole, taken):
        n = self.n = len(whole.names)
        self.low, self.high = np.array(whole.low), np.array(whole.high)
        for column, value in (taken or {}).items():
            self.low[column] = self.high[column] = value
        defined = {column: row for column, row in whole.definitions}
        level = {}
        for column, row in whole.definitions:
            others = {c for _, p in whole.rows[row][1] for c in p} - {column}
            level[column] = 1 + max([level.get(c, 0) for c in others] + [0])
        self.levels = []
        for depth in range(1, max(level.values(), default=0) + 1):
            columns = [c for c, d in level.items() if d == depth]
            above, below, square = [], [], []
            for column in columns:
                _, terms, _, side = whole.rows[defined[column]]
                powers = {p.count(column) for _, p in terms} - {0}
                assert powers in ({1}, {2}), "a definition is a line or a square in its column"
                square.append(powers == {2})
                below.append([(f, tuple(c for c in p if c != column)) for f, p in terms if column in p])
                above.append([(f, p) for f, p in terms if column not in p] + [(-side, ())])
            self.levels.append((np.array(columns), Sums(above, n), Sums(below, n), np.array(square)))
        self.free = np.array(
            [c for c in range(n) if c not in defined and self.low[c] < self.high[c]], dtype=int
        )
        self.start_box = self.low[self.free], self.high[self.free]
        rows, self.equal = [], []
        for i, (_, terms, sense, side) in enumerate(whole.rows):
            if i in defined.values():
                continue
            sign = -1.0 if sense == "<=" else 1.0
            rows.append([(sign * f, p) for f, p in terms] + [(-sign * side, ())])
            self.equal.append(sense == "=")
        for column in defined:
            if np.isfinite(self.low[column]):
                rows.append([(1.0, (column,)), (-self.low[column], ())])
                self.equal.append(False)
            if np.isfinite(self.high[column]):
                rows.append([(-1.0, (column,)), (self.high[column], ())])
                self.equal.append(False)
        self.equal = np.array(self.equal, dtype=bool)
        # Rows that hold no free column (decisions taken): they hold or they do not, and limit nothing.
        self.rows = Sums(rows, n)
        self.goal = Sums([whole.objective + [(whole.constant, ())]], n)
        self._last = None

    def point(self, x):
        """All columns, and one, from the free ones; `x` may hold one point per column of an array."""
        point = np.empty((self.n + 1,) + x.shape[1:])
        point[:-1] = self.low.reshape((-1,) + (1,) * (x.ndim - 1))
        point[-1] = 1.0
        point[self.free] = x
        for columns, above, below, square in self.levels:
            with np.errstate(divide="ignore", invalid="ignore"):  # far outside the rows nothing may stand below
                value = -above.values(point) / below.values(point)
            value[square] = np.sqrt(np.abs(value[square]))
            point[columns] = value
        return point

    def at(self, x):
        """Goal, its gradient, rows, their jacobian: by the free columns."""
        if self._last is not None and np.array_equal(self._last[0], x):
            return self._last[1]
        point = self.point(x)
        slopes = np.zeros((self.n, self.free.size))
        slopes[self.free, np.arange(self.free.size)] = 1.0
        for columns, above, below, square in self.levels:
            value, size = point[columns], below.values(point)
            power = np.where(square, value**2, value)
            change = -(above.jacobian(point) + power[:, None] * below.jacobian(point)) @ slopes / size[:, None]
            change[square] /= 2.0 * value[square, None]
            slopes[columns] = change
        told = (
            self.goal.values(point)[0],
            (self.goal.jacobian(point) @ slopes)[0],
            self.rows.values(point),
            self.rows.jacobian(point) @ slopes,
        )
        self._last = (x.copy(), told)
        return told

    def violation(self, values):
        """The largest violation among rows."""
        return np.max(np.where(self.equal.reshape((-1,) + (1,) * (values.ndim - 1)), np.abs(values), -values), axis=0)
