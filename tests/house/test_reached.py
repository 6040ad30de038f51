"""Every public function of the package is reached from the program: a formula nothing calls guards nothing."""

import ast

from tests.house.tree import ENTRY, functions, modules

# Functions that only callers outside the package use, each with who they are.
FOR_CALLERS = {
    "drawing.picture.text_boxes": "the tests of drawings, which see that no words lie on others",
    "drawing.picture.write_picture": "docs/pictures/draw.py, for the pictures of the manual",
    "many.columns.about_column": "the page of lists in the manual, which a test holds to it",
    "reading.charts.chart_from_text": "a script that has a chart as text; the command line reads a file",
}


# Decorators that put a function where a row of a table names it; tests/laws/test_new_kinds.py holds that a row does.
BY_ROW = ("equation",)


def named_by_row(node):
    """Whether a function stands where a row of a table names it."""
    calls = [each.func for each in getattr(node, "decorator_list", ()) if isinstance(each, ast.Call)]
    return any(isinstance(of, ast.Name) and of.id in BY_ROW for of in calls)


TABLES = (*ENTRY, "commands.help", "frames", "plots")


def uses(node):
    """Names a piece of the program calls, reads or imports, and those it gives out by __all__."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Name):
            yield inner.id
        elif isinstance(inner, ast.Attribute):
            yield inner.attr


def used(trees):
    """Each name used in the modules, with what uses it: (module, function or class)."""
    found = {}
    for module, tree in trees.items():
        for node in tree.body:
            if module in TABLES and isinstance(
                node, ast.Assign | ast.AnnAssign
            ):  # public names, and commands
                texts = [x.value for x in ast.walk(node) if isinstance(x, ast.Constant)]
                for text in texts:
                    found.setdefault(text, set()).add((module, "__all__"))
            if named_by_row(node):
                found.setdefault(node.name, set()).add((module, "a row"))
            for name in uses(node):
                found.setdefault(name, set()).add((module, getattr(node, "name", "")))
    return found


def never_called(found, these):
    """Of some (module, name), those nothing but themselves uses."""
    return {f"{module}.{name}" for module, name in these if not found.get(name, set()) - {(module, name)}}


def test_every_public_function_is_reached_from_the_program():
    plain = [(f.module, f.name) for f in functions() if f.public and f.owner is None]
    loose = never_called(used(modules()), [x for x in plain if not x[1].startswith("__")])
    assert loose - set(FOR_CALLERS) == set(), (
        "no program path calls these: call them, or move them to the tests"
    )
    assert set(FOR_CALLERS) - loose == set(), "listed as for callers alone, and the program calls them"


def test_the_rule_sees_a_function_nothing_calls():
    text = "def used(): return 1\ndef alone(): return alone\ndef caller(): return used()\nX = caller()"
    text += "\n@equation('nail')\ndef named(): return 1\n@formula\ndef only(): return 1"
    found = used({"m": ast.parse(text)})
    every = [("m", name) for name in ("used", "alone", "caller", "named", "only")]
    assert never_called(found, every) == {"m.alone", "m.only"}
