"""A plan stamped by somebody who has the printed trace and a calculator: reads the page, knows nothing of the program.

Every expression is worked out again and held to what stands behind it, in the digits that are printed. Brace forces are
solved for from F, 1/k, Z, w and L; demands are summed from them; and what an expression is given must be what an
earlier line came to, or a value nobody worked out.
"""

from __future__ import annotations

import ast
import math
import operator
import re

import numpy as np

NUMBER = r"-?[0-9.]+(?:e[+-]?[0-9]+)?"
FIGURES = 4  # a result is printed with so many, or with one decimal past a thousand
LONG = 6  # a number of so many figures is one that was worked out, or looked up at full length
KEYS = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}  # fmt: skip
FUNCTIONS = {
    "sqrt": math.sqrt, "min": min, "max": max, "exp": math.exp, "sin": lambda d: math.sin(math.radians(d)),
    "cos": lambda d: math.cos(math.radians(d)), "tan": lambda d: math.tan(math.radians(d)),
}  # fmt: skip
GIVEN = 2e-6  # what an expression is given stands in seven figures
GOVERNS = "Brace forces of the governing case"
SUMMED = "Demand of the links above"


class SlipError(AssertionError):
    """Something on the page does not come out."""


def calculated(expression):
    """What a calculator makes of it."""
    text = expression.replace("×", "*").replace("^", "**").replace("√", "sqrt").replace("°", "")
    return _worked(ast.parse(text.strip(), mode="eval").body)


def _worked(node):
    if isinstance(node, ast.Constant):
        return float(node.value)
    if isinstance(node, ast.BinOp):
        return KEYS[type(node.op)](_worked(node.left), _worked(node.right))
    if isinstance(node, ast.UnaryOp):
        return -_worked(node.operand)
    return FUNCTIONS[node.func.id](*(_worked(each) for each in node.args))


def last_digit(shown):
    """Half of the last digit of a number as printed."""
    mantissa, _, power = shown.lstrip("-").partition("e")
    decimals = len(mantissa.partition(".")[2])
    whole = len(mantissa.partition(".")[0].lstrip("0"))
    least = 0.1 if decimals == 0 and whole > FIGURES else 10.0**-decimals
    if decimals == 0 and whole <= FIGURES and float(mantissa):  # 12.30 is printed 12.3, and 380.0 as 380
        least = 10.0 ** (whole - FIGURES)
    return 0.5 * least * 10.0 ** int(power or 0)


def held(shown, worked, what, *, more=0.0):
    """Hold a number as printed to what it was worked out to be."""
    if not abs(float(shown) - worked) <= 1.01 * last_digit(shown) + more + GIVEN * abs(worked):
        message = f"{what}: {shown} is printed and {worked:.8g} comes out"
        raise SlipError(message)


def paragraphs(lines):
    """Lines put together again: (indent, text)."""
    found = []
    for line in lines:
        indent = len(line) - len(line.lstrip())
        if not line.strip():
            found.append((0, ""))
        elif found and found[-1][1] and indent == found[-1][0] + 2 and indent != 6:
            found[-1] = (found[-1][0], f"{found[-1][1]} {line.strip()}")
        else:
            found.append((indent, line.strip()))
    return [each for each in found if each[1]]


def sections(text):
    """Every link of the trace: its heading, and its steps (what, expression, result)."""
    part = text[text.index("Clear-out gust") : text.index(GOVERNS)]
    found, what = [], ""
    for indent, said in paragraphs(part.splitlines()):
        if indent == 0:
            found.append((said, []))
        elif indent == 6 and not said.startswith("which is"):
            expression, _, result = said.rpartition(" = ")
            found[-1][1].append((what, expression, result.split()[0]))
        else:
            what = said
    return [each for each in found if "reaches its limit at" in each[0]]


def states(text):
    """F, 1/k, Z, w, L and R of every numbered state."""
    part = text[text.index(GOVERNS) :]
    part = part[: part.index("Void if anything differs")]
    found = {}
    heads = [*re.finditer(r"^  State ([0-9]+)\b", part, re.MULTILINE)]
    for k, head in enumerate(heads):
        end = heads[k + 1].start() if k + 1 < len(heads) else len(part)
        found[int(head[1])] = _state(part[head.start() : end], found)
    return found


def _state(part, before):
    lines = part.splitlines()
    as_in = re.search(r"F and Z as in state ([0-9]+)", part)
    at = next(k for k, line in enumerate(lines) if "1/k in/1000 lb" in line)
    own, marks = _table([*_rows(lines[at:])])
    if as_in is None:
        start = next(k for k, line in enumerate(lines) if line.startswith("  F, in/1000 lb"))
        F, _ = _table(lines[start + 1 : at])
        Z = own[:, 1:-2]
    else:
        F, Z = (before[int(as_in[1])][name] for name in ("F", "Z"))
    flat = " ".join(part.split())
    works = [re.findall(rf"L along Z{k + 1}: ({NUMBER}) \+ ({NUMBER}) V", flat)[0] for k in range(Z.shape[1])]
    forces = {m[1]: m for m in re.finditer(rf"R (\S+): ({NUMBER}) \+ ({NUMBER}) V\^2", flat)}
    idle = re.search(r"lb ([^.:]+) without a part in it", flat)
    out = idle[1].split(", ") if idle else []
    return {
        "marks": marks, "F": F, "Z": Z, "give": own[:, 0], "w": own[:, -2:],
        "L": np.array(works, dtype=float), "on": np.array([mark not in out for mark in marks]),
        "R": np.array([[float(forces[mark][2]), float(forces[mark][3])] for mark in marks]),
    }  # fmt: skip


def _rows(lines):
    for line in lines:
        if not line.startswith("    ") or not line.strip():
            return
        yield line


def _table(lines):
    """Numbers of a table, under their names or each behind its name; and the marks of its rows."""
    if ":" not in lines[0]:
        rows = [line.split() for line in lines[1:]]
        return np.array([[float(each) for each in row[1:]] for row in rows]), [row[0] for row in rows]
    flat = " ".join(
        line.strip() if re.match(r"    \S", line) is None else f"| {line.strip()}" for line in lines
    )
    named = [each.strip().partition(": ") for each in flat.split("|")[1:]]
    rows = [[float(each.split()[-1]) for each in row.split(", ")] for _, _, row in named]
    return np.array(rows), [mark for mark, _, _ in named]


def solved(state):
    """(F + 1/k) R - Z a = w and Z' R = L for the braces that work, steady and for V^2."""
    on = state["on"]
    F = state["F"][np.ix_(on, on)] / 1000.0 + np.diag(state["give"][on] / 1000.0)
    Z = state["Z"][on]
    n, m = Z.shape
    whole = np.zeros((n + m, n + m))
    whole[:n, :n], whole[:n, n:], whole[n:, :n] = F, -Z, Z.T
    R = np.zeros_like(state["R"])
    R[on] = np.linalg.solve(whole, np.concatenate([state["w"][on], state["L"]]))[:n]
    return R


SOLVED_TO = 2e-5  # of the greatest: equations of seven figures give forces to nearly five


def checked_states(text):
    """Brace forces of every state, solved for by elimination and held to those printed."""
    found = states(text)
    for number, state in found.items():
        R = solved(state)
        for part in (0, 1):
            off = np.abs(R - state["R"])[:, part].max()
            if off > SOLVED_TO * np.abs(state["R"][:, part]).max():
                message = f"state {number}: {state['R'][:, part]} are printed, {R[:, part]} come out"
                raise SlipError(message)
        state["solved"] = R
    return found


def demands(text, found):
    """Every summed demand: (link, what) and its steady part and rate, from the brace forces solved for."""
    part = text[text.index(SUMMED) :]
    part = part[: part.index("Void if anything differs")]
    summed, link = [], ""
    for indent, said in paragraphs(part.splitlines()):
        if indent == 2 and ", wind from" in said:
            link = said.partition(", wind from")[0]
        elif indent == 6 and link:
            summed.append((link, *_summed(said, found)))
    return summed


def _summed(said, found):
    what, _, rest = said.partition(": ")
    pieces, *totals = rest.split(" = ")
    total = np.zeros(2)
    loads = re.match(rf"(\(?{NUMBER}\)?) \+ (\(?{NUMBER}\)?) V\^2", pieces)
    scale = 0.0
    if loads:
        total += [calculated(loads[1]), calculated(loads[2])]
        scale = np.abs(total)
        pieces = pieces[loads.end() :].removeprefix(" + ")
    for several, number in re.findall(r"(.*?) of state ([0-9]+)(?: \+ |$)", pieces):
        state = found[int(number)]
        for share, mark in re.findall(rf"(\(?{NUMBER}\)?) R (\S+)", several):
            piece = calculated(share) * state["solved"][state["marks"].index(mark)]
            total, scale = total + piece, scale + np.abs(piece)
    value, gust = re.match(rf"({NUMBER}) .* at ({NUMBER}) mph", totals[-1]).groups()
    if len(totals) > 1:
        steady, rate = re.match(rf"(\(?{NUMBER}\)?) \+ (\(?{NUMBER}\)?) V", totals[0]).groups()
        for printed, came, size in zip((steady, rate), total, scale, strict=True):
            if abs(calculated(printed) - came) > SOLVED_TO * size:
                message = f"{what}: {printed} is printed and {came:.8g} comes out of {said}"
                raise SlipError(message)
    speed = np.array([1.0, float(gust) ** 2])
    if abs(float(value) - total @ speed) > SOLVED_TO * (scale @ speed):
        message = f"{what}: {value} is printed and {total @ speed:.8g} comes out"
        raise SlipError(message)
    return what, total, float(gust), total @ speed


def rehearsed(text):
    """Work the whole page through; how many demands and how many results came out.

    Raises:
        SlipError: something does not.
    """
    summed = demands(text, checked_states(text))
    results, met = 0, 0
    for heading, steps in sections(text):
        link = heading.partition(" reaches its limit")[0]
        mine = [each for each in summed if each[0] == link]
        known, frame = [], 0
        for what, expression, shown in steps:
            worked = calculated(expression)
            held(shown, worked, f"{link}: {what}")
            if "from the frame" in what or "of an inch of plate there" in what or "on top of it" in what:
                frame += 1
                met += _is_summed((link, what, expression, worked), mine, known)
            known.append(worked)
            results += 1
        if not steps:
            message = f"{link}: no sums"
            raise SlipError(message)
        _gust(heading, steps, known)
    return results, met


def _is_summed(step, mine, known):
    """A force of the frame is one of those summed by hand, of the same steady part and rate; or the wind's alone."""
    link, what, expression, worked = step
    steady, rate = re.match(rf"(\(?{NUMBER}\)?) \+ (\(?{NUMBER}\)?) × ", expression).groups()
    line = np.array([calculated(steady), calculated(rate)])
    if not line.any():
        return 0
    if not line[0] and any(abs(each - line[1]) <= 1e-6 * abs(line[1]) for each in known):
        return 1
    for _, _, total, _, _ in mine:
        near = (
            np.abs(np.array([total - line, -total - line]))
            <= 1e-4 * np.abs(total) + 1e-6 * np.abs(total).max()
        )
        if near.all(axis=1).any():
            return 1
    message = f"{link}: {what}, {expression} = {worked:.6g}, is summed nowhere"
    raise SlipError(message)


def _among(known, sought):
    return any(abs(each - one) <= 1e-5 * abs(one) for each in known for one in sought)


def _gust(heading, steps, known):
    """The gust of the heading is what the last sum comes to, rounded down; where it is the share used, that is 1."""
    limit = float(re.search(rf"reaches its limit at ({NUMBER}) mph", heading)[1])
    what, expression, _ = steps[-1]
    if what.startswith("Gust at which the two are equal"):
        one = rf"\(?({NUMBER})\)?"
        capacity, steady, rate = map(
            float, re.fullmatch(rf"√\(\({one} - {one}\) / {one}\)", expression).groups()
        )
        gusts = [float(each) for said, *_ in steps for each in re.findall(rf"at ({NUMBER}) mph", said)]
        asked = [steady + rate * gust**2 for gust in gusts]
        if not _among(known[:-1], [capacity]) or not _among(known[:-1], asked):
            message = f"{heading}: neither {capacity} nor {steady} + {rate} V^2 was worked out before"
            raise SlipError(message)
        if not limit - 1e-3 <= known[-1] < limit + 0.101:
            message = f"{heading}: {known[-1]:.6g} comes out"
            raise SlipError(message)
        return
    if what.startswith(("Ratio", "Share")) and abs(known[-1] - 1.0) > 2e-4 and limit > 0.0:
        message = f"{heading}: the share used comes to {known[-1]:.6g}, not 1"
        raise SlipError(message)
