"""Breaks the library on purpose, one small change at a time, and counts how many changes some test notices.

    python -m tests.mutation axle_loads trip    these modules, wherever in towlib they lie
    python -m tests.mutation                    all modules of the physics
    python -m tests.mutation --table            only the table and the survivors of the last runs

Nothing in the checkout is changed: the changes are made in copies in the folder for temporary files.
README.md beside this file says how to install the tool and how the counting is done.
"""

import argparse
import ast
import gc
import importlib
import io
import json
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
import tomllib
from bisect import bisect_right
from concurrent.futures import ThreadPoolExecutor
from contextlib import redirect_stderr, redirect_stdout, suppress
from functools import cache
from pathlib import Path
from typing import NamedTuple

REPOSITORY = Path(__file__).parents[2]
LIBRARY, TESTS = REPOSITORY / "towlib", REPOSITORY / "tests"
WORK = Path(os.environ.get("TOWLIB_MUTATION_FOLDER", Path(tempfile.gettempdir()) / "towlib-mutation"))
EXPLAINED = Path(__file__).with_name("explained.toml")
SWAPS = {
    "min": "max",
    "max": "min",
    "sin": "cos",
    "cos": "sin",
    "floor": "ceil",
    "ceil": "floor",
    "any": "all",
    "all": "any",
}
OPERATORS = [
    "NumberReplacer",
    "AddNot",
    "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue",
    "ReplaceAndWithOr",
    "ReplaceOrWithAnd",
    "ReplaceBreakWithContinue",
    "ReplaceContinueWithBreak",
    "ExceptionReplacer",
    "ZeroIterationForLoop",
    "ReplaceUnaryOperator_Delete_USub",
    "ReplaceUnaryOperator_Delete_Not",
    *(
        f"ReplaceBinaryOperator_{pair}"
        for pair in ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Pow_Mul", "FloorDiv_Div", "Mod_Div")
    ),
    *(
        f"ReplaceComparisonOperator_{pair}"
        for pair in (
            "Lt_LtE",
            "Lt_GtE",
            "LtE_Lt",
            "LtE_Gt",
            "Gt_GtE",
            "Gt_LtE",
            "GtE_Gt",
            "GtE_Lt",
            "Eq_NotEq",
            "NotEq_Eq",
            "Is_IsNot",
            "IsNot_Is",
        )
    ),
]  # names of cosmic-ray; SwapName below is ours
# tests of one subject that stand in a file of another name
ALSO = {
    "journey": [
        "test_climb",
        "test_descent",
        "test_launch",
        "test_cooling_stops",
        "test_runaway",
        "test_climb_oracle",
    ],
    "powertrain": ["test_climb", "test_descent", "test_traction"],
    "climb_cases": ["test_journey_cases"],
    "torque_cases": ["test_journey_cases"],
    "reversing": ["test_path"],
    "swept": ["test_path"],
    "downgrade_truck": ["test_runaway"],
    "gear_ties": ["test_shaft_motion"],
    "reference_climb": ["test_cooling_stops"],
    "trip_costs": ["test_owning_costs"],
    "yaw_pair": ["test_yaw"],
}
# files asked in place of the one of the module's name, which works out whole plans and takes minutes
INSTEAD = {
    "trip": ["test_verdict"],
    "sheet": ["test_sheet_words"],
    "many_cases": ["test_cases_by_hand"],
    "many_case_legs": ["test_cases_by_hand"],
}
SHARED = (
    "cosmic_ray.mutating",
    "cosmic_ray.operators.provider",
    "hypothesis.strategies",
    "numpy",
    "pint",
    "pydantic",
    "pytest",
    "scipy.integrate",
    "scipy.optimize",
    "scipy.stats",
)
BOUNDS = "test_the_least_value_stated_is_the_least_value_taken", "test_the_ends_stated_in_words"
NEVER = {
    "test_access",
    "test_browser",
    "test_many_readers",
    "test_new_user",
    "test_notebooks",
    "test_wheel",
    "test_handouts",
    "test_exercises",
    "test_adapt_check",
    "test_docstrings",
    "test_layers",
    "test_trip",
}


class Mutant(NamedTuple):
    """One small change of one module."""

    operator: str
    occurrence: int
    line: int
    before: str = ""  # the changed statement of the module, as it was (see `statements`)
    after: str = ""


# ---- where things lie ----


def place_of(module: str) -> Path:
    """A module by its name alone, from the top folder."""
    found = [path.relative_to(REPOSITORY) for path in LIBRARY.rglob("[!_]*.py") if path.stem == module]
    if len(found) != 1:
        raise SystemExit(
            f"{len(found)} modules of the name {module!r} in towlib: wanted one, as 'axle_loads'"
        )
    return found[0]


def physics() -> list[str]:
    return sorted(path.stem for path in (LIBRARY / "physics").rglob("[!_]*.py"))


# ---- the changes ----


def _swap_operator():
    from cosmic_ray.operators.operator import Operator

    class SwapName(Operator):
        """min for max, sin for cos and the like, where they are called or handed on."""

        def mutation_positions(self, node):
            if (
                node.type == "name"
                and node.value in SWAPS
                and node.parent.type not in ("param", "import_from", "import_as_names")
            ):
                yield node.start_pos, node.end_pos

        def mutate(self, node, index):
            node.value = SWAPS[node.value]
            return node

        @classmethod
        def examples(cls):
            return ()

    return SwapName()


@cache
def _operator(name: str):
    if name == "SwapName":
        return _swap_operator()
    from cosmic_ray.operators.provider import OperatorProvider

    return OperatorProvider()[name]()


def _left_out(node, operator: str) -> str:
    """Why this place is not counted, or an empty text."""
    above = node
    while above is not None:
        if above.type in ("raise_stmt", "fstring"):
            return "words"
        if above.type == "decorator":
            return "declaration"
        if above.type in ("import_from", "import_name", "annassign", "tfpdef"):
            return (
                ""
                if above.type == "annassign" and node.type != "keyword" and _in_value(above, node)
                else "declaration"
            )
        above = above.parent
    if node.type == "operator" and node.parent.type in (
        "parameters",
        "decorator",
        "subscript",
        "dictorsetmaker",
    ):
        return "declaration"
    if (
        operator == "ReplaceTrueWithFalse"
        and node.parent.type == "argument"
        and node.parent.children[0].value == "strict"
    ):
        return "declaration"
    if operator == "AddNot":
        condition = node.children[2 if node.type == "test" else 1]
        if condition.type == "namedexpr_test":
            return "no longer Python"
        return "same as a changed comparison" if condition.type == "comparison" else ""
    return ""


def _in_value(annassign, node) -> bool:
    return len(annassign.children) > 2 and annassign.children[3].start_pos <= node.start_pos


def mutants(source: str) -> list[Mutant]:
    """Every place of every operator that counts, by line; without the texts, which take longer."""
    from cosmic_ray.ast import ast_nodes, get_ast

    found = []
    nodes = list(ast_nodes(get_ast(source)))
    for name in [*OPERATORS, "SwapName"]:
        operator, occurrence = _operator(name), -1
        for node in nodes:
            for start, _ in operator.mutation_positions(node):
                occurrence += 1
                if not _left_out(node, name):
                    found.append(Mutant(name, occurrence, start[0]))
    return sorted(found, key=lambda mutant: (mutant.line, mutant.operator, mutant.occurrence))


def _changed(source: str, mutant: Mutant) -> str:
    from cosmic_ray.mutating import mutate_code

    return mutate_code(source, _operator(mutant.operator), mutant.occurrence)


def statements(tree: ast.AST) -> list[ast.AST]:
    """Every statement, `except` and argument with a default, in the order of the text."""
    found = []
    if isinstance(tree, ast.FunctionDef):
        given = tree.args.posonlyargs + tree.args.args
        usual = [None] * (len(given) - len(tree.args.defaults)) + tree.args.defaults + tree.args.kw_defaults
        for each, value in zip(given + tree.args.kwonlyargs, usual, strict=True):
            if value is not None:
                text = f"{ast.unparse(each)} = {ast.unparse(value)}"
                found.append(ast.copy_location(ast.parse(text).body[0], each))
    for part in ("body", "handlers", "orelse", "finalbody"):
        inside = getattr(tree, part, None)
        for inner in inside if isinstance(inside, list) else ():
            found += [inner, *statements(inner)]
    return found


def words(statement: ast.AST) -> str:
    """A statement in one line, of a compound one its head, written anew from the syntax tree: line breaks,
    brackets, quotes and comments make no difference.
    """
    if isinstance(statement, ast.ExceptHandler):
        kind = f" {ast.unparse(statement.type)}" if statement.type else ""
        return f"except{kind}{f' as {statement.name}' if statement.name else ''}:"
    if isinstance(statement, ast.Try):
        return "try:"
    if hasattr(statement, "body"):
        head = {name: getattr(statement, name) for name in statement._fields}
        head |= {"body": [ast.Pass()], "decorator_list": [], "orelse": []}
        one_line = type(statement)(**{name: head[name] for name in statement._fields})
        return ast.unparse(ast.fix_missing_locations(one_line)).removesuffix("pass").rstrip()
    return ast.unparse(statement)


def _with_words(source: str, mutant: Mutant) -> Mutant:
    """The same with the statement that differs, as it was and as it became."""
    changed = _changed(source, mutant)
    lines = zip(source.split("\n"), changed.split("\n"), strict=False)
    line = next((at for at, (a, b) in enumerate(lines, 1) if a != b), mutant.line)
    old, new = _parsed(source), statements(ast.parse(changed))
    place = bisect_right(old, line, key=lambda statement: statement.lineno) - 1
    while place and words(old[place]) == words(new[place]):  # several arguments in one line, or an end of one
        place -= 1
    return mutant._replace(line=line, before=words(old[place]), after=words(new[place]))


@cache
def _parsed(source: str) -> list[ast.AST]:
    return statements(ast.parse(source))


# ---- which tests ----


@cache
def _imports(path: Path) -> frozenset[str]:
    """Modules that a file imports, and what it takes from them, with dots."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {each.name for each in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{each.name}" for each in node.names)}
    return frozenset(names)


def lines_of_tests(module: str) -> list[list[str]]:
    """First line: doctests and the test file of that name. Second line: other files that import it, doctests
    of modules on it. Where no test file has the name, those that import it are the first line.
    """
    here = place_of(module)
    dotted = ".".join(here.with_suffix("").parts)
    tests = {path.stem: path.relative_to(REPOSITORY).as_posix() for path in sorted(TESTS.rglob("test_*.py"))}
    named = INSTEAD.get(module, [f"test_{module}", *ALSO.get(module, [])])
    own = [tests[name] for name in named if name in tests]
    others = [
        place
        for name, place in tests.items()
        if name not in NEVER and place not in own and dotted in _imports(REPOSITORY / place)
    ]
    if not own:
        own, others = others, []
    modules = (path for path in sorted(LIBRARY.rglob("[!_]*.py")) if dotted in _imports(path))
    built = [path.relative_to(REPOSITORY).as_posix() for path in modules]
    in_physics = here.parts[1] == "physics"
    bounds = [f"tests/house/test_stated_bounds.py::{test}[{module}]" for test in BOUNDS] if in_physics else []
    return [[here.as_posix(), *bounds, *own], built + others]


# ---- one run in a forked child ----


def _prepare_child(tree: Path, cpu_seconds: int) -> None:
    os.chdir(tree)
    sys.path[:] = [str(tree), *(entry for entry in sys.path if entry not in ("", str(REPOSITORY)))]
    for name in [name for name in sys.modules if name.partition(".")[0] in ("tests", "towlib")]:
        del sys.modules[name]
    resource.setrlimit(resource.RLIMIT_CPU, (cpu_seconds, cpu_seconds + 5))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_AS, (5 << 30, 5 << 30))
    os.environ.update(
        TOWLIB_READER_FOLDER=str(tree / "reader"), PYTEST_DISABLE_PLUGIN_AUTOLOAD="1", MPLBACKEND="agg"
    )
    from hypothesis import HealthCheck, Phase, settings

    settings.register_profile(
        "mutation",
        derandomize=True,
        database=None,
        deadline=None,
        max_examples=50,
        phases=[Phase.explicit, Phase.generate],
        report_multiple_bugs=False,
        suppress_health_check=list(HealthCheck),
    )
    settings.load_profile("mutation")


def _pytest(tests: list[str]) -> int:
    import pytest

    said = io.StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        code = int(
            pytest.main(
                [
                    "-x",
                    "-q",
                    "-o",
                    "addopts=",
                    "--doctest-modules",
                    "-p",
                    "no:cacheprovider",
                    "--tb=no",
                    *tests,
                ]
            )
        )
    if code > 2 or os.environ.get("TOWLIB_MUTATION_TALK"):
        print(said.getvalue()[-2000:], file=sys.stderr, flush=True)
    return code


def _fork(work, wall_seconds: float) -> tuple[str, float]:
    """Run `work` in a child. What became of it (passed, failed, time, died), and the seconds it took."""
    started = time.monotonic()
    child = os.fork()
    if child == 0:
        code = 99
        try:
            code = work()
        except BaseException as problem:  # noqa: BLE001 - the child must end here, whatever happened
            print(f"{type(problem).__name__}: {problem}", file=sys.stderr, flush=True)
        os._exit(code)
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        took = time.monotonic() - started
        if done:
            break
        if took > wall_seconds:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return "time", took
        time.sleep(0.01)
    if os.WIFSIGNALED(status):
        return ("time" if os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL) else "died"), took
    return {0: "passed", 1: "failed", 2: "failed"}.get(os.WEXITSTATUS(status), "died"), took


def _baseline(tree: Path, tests: list[str]) -> float:
    """Run the tests on the unchanged code; import here what they import from elsewhere, so that forks need
    not.
    """
    names = tree / "imported.json"

    def work() -> int:
        _prepare_child(tree, 900)
        code = _pytest(tests)
        ours = (
            "towlib",
            "tests",
            "test_",
            "conftest",
            "__main__",
            "_pytest",
            "pytest",
            "hypothesis",
            "_hypothesis",
        )
        names.write_text(json.dumps([name for name in sys.modules if not name.startswith(ours)]))
        return code

    outcome, took = _fork(work, 1200)
    if outcome != "passed":
        raise SystemExit(
            f"the tests {' '.join(tests)} do not pass on the unchanged code ({outcome}): mend that first"
        )
    for name in json.loads(names.read_text()):
        if name not in sys.modules and not name.startswith("ipykernel"):
            with suppress(Exception):
                importlib.import_module(name)
    return took


def run_module(
    module: str, jobs: int, sample: int | None, seed: int, only_survivors: bool, second: bool
) -> None:
    trees = [WORK / f"tree-{job}" for job in range(jobs)]
    for tree in trees:
        shutil.rmtree(tree, ignore_errors=True)
    trees[0].mkdir(parents=True)
    for name in ("towlib", "tests", "data", "notebooks", "pyproject.toml", "README.md", "requirements.txt"):
        copy = shutil.copytree if (REPOSITORY / name).is_dir() else shutil.copy2
        copy(REPOSITORY / name, trees[0] / name)
    here = place_of(module)
    source = (trees[0] / here).read_text(encoding="utf-8")
    known = {_place(Mutant(*row["mutant"])): row for row in _results(module)}
    every = mutants(source)
    total, chosen = len(every), list(every)
    if sample and sample < total:
        random.Random(f"{seed} {module}").shuffle(chosen)  # so a larger sample holds the smaller one
        chosen = chosen[:sample]
    if only_survivors:  # what was tried before stays in the table
        tried = {place[:2] for place in known}
        chosen += [m for m in every if (m.operator, m.occurrence) in tried and m not in chosen]
    chosen = [_with_words(source, mutant) for mutant in chosen]
    kept = [
        m
        for m in chosen
        if not only_survivors or known.get(_place(m), {"outcome": "passed"})["outcome"] == "passed"
    ]
    rows = [{**known[_place(m)], "mutant": m} for m in chosen if m not in kept]
    stages = [tests for tests in lines_of_tests(module)[: 2 if second else 1] if tests]
    took = [_baseline(trees[0], tests) for tests in stages]
    for tree in trees[1:]:
        shutil.copytree(trees[0], tree)
    gc.collect()
    gc.freeze()
    print(
        f"{module}: {len(kept)} of {total} changes; tests {' + '.join(f'{t:.1f} s' for t in took)}",
        flush=True,
    )
    free = list(trees)

    def one(mutant: Mutant) -> dict:
        tree = free.pop()
        path = tree / here
        path.write_text(_changed(source, mutant), encoding="utf-8")
        for compiled in (path.parent / "__pycache__").glob(f"{module}.*"):
            compiled.unlink()  # so that the changed text is read
        outcome, stage = "passed", 0
        for stage, (tests, seconds) in enumerate(zip(stages, took, strict=True), 1):  # noqa: B007

            def work(tests=tests, seconds=seconds) -> int:
                sys.dont_write_bytecode = True
                gc.disable()
                _prepare_child(tree, int(4 + 2 * seconds))
                return _pytest(tests)

            outcome, _ = _fork(work, 60 + 12 * seconds)
            if outcome != "passed":
                break
        path.write_text(source, encoding="utf-8")
        free.append(tree)
        return {"mutant": mutant, "outcome": outcome, "stage": stage}

    with ThreadPoolExecutor(jobs) as pool:
        rows += list(pool.map(one, kept))
    rows.sort(key=lambda row: row["mutant"][2])
    (WORK / f"{module}.json").write_text(json.dumps({"total": total, "rows": rows}, indent=0))


# ---- what came out ----


def _results(module: str) -> list[dict]:
    path = WORK / f"{module}.json"
    return json.loads(path.read_text())["rows"] if path.exists() else []


def _place(mutant: Mutant) -> tuple:
    return mutant.operator, mutant.occurrence, mutant.before, mutant.after


def explanations() -> dict[tuple[str, str, str], str]:
    """Why a change cannot be seen, by module, statement as it was and statement as it became ("any": whatever
    it became).
    """
    if not EXPLAINED.exists():
        return {}
    table = tomllib.loads(EXPLAINED.read_text(encoding="utf-8"))
    return {
        (module, _plain(row["before"]), _plain(after)): row["why"]
        for module, rows in table.items()
        for row in rows
        for after in ([row["after"]] if isinstance(row["after"], str) else row["after"])
    }


def _plain(text: str) -> str:
    """The text of one statement as `words` has it."""
    for whole, place in ((text, 0), (f"{text}\n pass", 0), (f"try: pass\n{text}\n pass", 2)):
        with suppress(SyntaxError):
            return words(statements(ast.parse(whole))[place])
    raise SystemExit(f"{EXPLAINED.name}: this is not one statement of Python: {text}")


def gone() -> list[str]:
    """Explanations of statements that no module has any more."""
    return [
        f"- `{module}`: `{before}`"
        for module, before in dict.fromkeys(key[:2] for key in explanations())
        if before not in {words(each) for each in _parsed(place_of(module).read_text(encoding="utf-8"))}
    ]


def table() -> None:
    why, sums, left, strata = explanations(), [0, 0, 0, 0, 0], [], []
    print(
        "| module | changes | tried | noticed | survived | of these explained | noticed, all counted |"
        " noticed, explained ones left out |"
    )
    print("|---|---|---|---|---|---|---|---|")
    for path in sorted(WORK.glob("*.json")):
        module, data = path.stem, json.loads(path.read_text())
        rows = data["rows"]
        survivors = [row["mutant"] for row in rows if row["outcome"] == "passed"]
        unexplained = [m for m in survivors if not {(module, m[3], m[4]), (module, m[3], "any")} & set(why)]
        counts = (
            data["total"],
            len(rows),
            len(rows) - len(survivors),
            len(survivors),
            len(survivors) - len(unexplained),
        )
        sums = [a + b for a, b in zip(sums, counts, strict=True)]
        strata.append(counts)
        print(_row(module, counts))
        left += [f"- `{module}` line {m[2]}: `{m[3]}` → `{m[4]}`" for m in unexplained]
    print(_row("**all**", sums))
    print(f"\nWeighted by the changes of each module, all survivors counted: {_weighted(strata)}")
    print("\nNot noticed and not explained:\n")
    print("\n".join(left) or "none")
    if lost := gone():
        print(f"\nIn {EXPLAINED.name}, but no longer in the library:\n", *lost, sep="\n")


def _row(name: str, counts) -> str:
    total, tried, noticed, survived, explained = counts
    shares = [f"{100 * noticed / of:.1f} %" if of else "–" for of in (tried, tried - explained)]
    return (
        f"| {name} | {total} | {tried} | {noticed} | {survived} | {explained} | {shares[0]} | {shares[1]} |"
    )


def _weighted(strata) -> str:
    """Share noticed over all changes, and its 95 per cent interval where modules were sampled."""
    whole = sum(counts[0] for counts in strata)
    share = spread = 0.0
    for total, tried, noticed, *_ in strata:
        part = (noticed + 1) / (tried + 2)  # so that a small sample without survivors still has a spread
        share += total / whole * noticed / tried
        spread += (total / whole) ** 2 * (1 - tried / total) * part * (1 - part) / tried
    return f"{100 * share:.1f} % ± {196 * spread**0.5:.1f} %"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__.partition("\n")[0])
    parser.add_argument(
        "modules", nargs="*", help="modules of towlib, without .py; none means all of the physics"
    )
    parser.add_argument("--jobs", type=int, default=2, help="processes at once (default 2)")
    parser.add_argument("--sample", type=int, help="at most so many changes of a module, drawn at random")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--survivors", action="store_true", help="only those that survived the last run, and new ones"
    )
    parser.add_argument(
        "--second",
        action="store_true",
        help="ask the second line of tests as well: slow, best with --survivors",
    )
    parser.add_argument("--count", action="store_true", help="count the changes and run nothing")
    parser.add_argument(
        "--table", action="store_true", help="only the table and the survivors of the last runs"
    )
    options = parser.parse_args()
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    names = options.modules or physics()
    WORK.mkdir(parents=True, exist_ok=True)
    for package in (
        SHARED if not (options.count or options.table) else ()
    ):  # loaded once, here, and not in every module's process
        with suppress(ImportError):
            importlib.import_module(package)
    for module in names if not options.table else []:
        if options.count:
            count = len(mutants((REPOSITORY / place_of(module)).read_text(encoding="utf-8")))
            print(module, count, lines_of_tests(module))
            continue
        child = os.fork()  # what one module's tests import stays out of the next module's run
        if child == 0:
            code = 1
            try:
                run_module(
                    module, options.jobs, options.sample, options.seed, options.survivors, options.second
                )
                code = 0
            except SystemExit as problem:
                print(problem, file=sys.stderr)
            finally:
                sys.stdout.flush()
                os._exit(code)
        os.waitpid(child, 0)
    if not options.count:
        table()


if __name__ == "__main__":
    main()
