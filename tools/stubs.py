"""Finish the stub that PyO3's introspection writes: ``python tools/stubs.py RAW OUT``.

Introspection gives every name, argument, default and docstring. What it cannot say is that a scalar in gives a float
and an array in gives an array. This adds it: a function that takes ``Quantities`` and returns ``FloatOrArray`` becomes
overloads. It also completes ``dict`` and ``tuple`` without arguments, and formats the file.
"""

import ast
import copy
import subprocess
import sys
from pathlib import Path

HEADER = "# Written by `make stubs` from the Rust sources; do not edit.\n"
IMPORTS = """
from typing import Any, overload
from numpy import float64
from numpy.typing import NDArray
from fillmark._types import Number, Numbers, SupportsTo
"""
# An argument of the first kind and the result it gives. What an object with pint's face holds, its type does not say.
FORMS = (("Number", "float"), ("Numbers", "NDArray[float64]"), ("SupportsTo", "Any"))
# With several such arguments one array is enough for an array.
FORMS_OF_SEVERAL = (("Number", "float"), ("Quantities", "Any"))
BARE = {"dict": "dict[str, Any]", "tuple": "tuple[Any, ...]", "list": "list[Any]"}


def is_name(node: ast.expr | None, name: str) -> bool:
    """Tell whether an annotation is just this name."""
    return isinstance(node, ast.Name) and node.id == name


def expression(text: str) -> ast.expr:
    """Parse one annotation."""
    return ast.parse(text, mode="eval").body


def arguments(function: ast.FunctionDef) -> list[ast.arg]:
    """Return every named argument that takes one value or many."""
    every = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    return [a for a in every if is_name(a.annotation, "Quantities")]


def overloads(function: ast.FunctionDef) -> list[ast.stmt]:
    """Return the forms of a function that takes one or many; any other function as it is."""
    many = len(arguments(function))
    if not many or not is_name(function.returns, "FloatOrArray"):
        return [function]
    forms: list[ast.stmt] = []
    for taken, given in FORMS if many == 1 else FORMS_OF_SEVERAL:
        form = copy.deepcopy(function)
        for argument in arguments(form):
            argument.annotation = expression(taken)
        form.returns = expression(given)
        form.decorator_list.insert(0, ast.Name("overload"))
        if forms:
            form.body = [ast.Expr(ast.Constant(...))]
        forms.append(form)
    return forms


class Complete(ast.NodeTransformer):
    """Give ``dict``, ``tuple`` and ``list`` their arguments where they have none."""

    def visit_Subscript(self, node: ast.Subscript) -> ast.expr:
        """Leave the name of a complete type alone."""
        node.slice = self.visit(node.slice)
        return node

    def visit_Name(self, node: ast.Name) -> ast.expr:
        """Complete a bare name."""
        return expression(BARE[node.id]) if node.id in BARE else node


def finish(tree: ast.Module) -> ast.Module:
    """Rewrite every function and method."""
    tree = Complete().visit(tree)
    scopes: list[ast.Module | ast.ClassDef] = [tree, *(n for n in ast.walk(tree) if isinstance(n, ast.ClassDef))]
    for scope in scopes:
        body: list[ast.stmt] = []
        for statement in scope.body:
            body += overloads(statement) if isinstance(statement, ast.FunctionDef) else [statement]
        scope.body = body
    tree.body[1:1] = ast.parse(IMPORTS).body  # after the docstring
    return ast.fix_missing_locations(tree)


def ruff(*arguments: str, text: str) -> str:
    """Pass the text through ruff."""
    command = [sys.executable, "-m", "ruff", *arguments, "--isolated", "--stdin-filename", "_core.pyi", "-"]
    return subprocess.run(command, input=text, capture_output=True, text=True, check=True).stdout


def main() -> None:
    """Read the raw stub, write the finished one."""
    raw, out = map(Path, sys.argv[1:3])
    text = ast.unparse(finish(ast.parse(raw.read_text(encoding="utf-8"))))
    text = ruff("check", "--select", "F401,F811,I", "--fix", "--quiet", "--line-length", "120", text=text)
    text = ruff("format", "--line-length", "120", text=text)
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_text(HEADER + text, encoding="utf-8")


if __name__ == "__main__":
    main()
