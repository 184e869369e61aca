"""Brings notebooks into the form they are kept in: `python tests/clean_notebooks.py` reports, `--fix` mends.

Cells whose output differs from run to run (tag nbval-ignore-output) are kept without output and count. All
others keep their text output and the count 1, because nbval compares nothing in a cell whose count is null.
"""

import json
import sys
from pathlib import Path

import nbformat

NOTEBOOKS = Path(__file__).parents[1] / "notebooks"
KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}


def cleaned(notebook: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """The notebook as it is kept."""
    notebook = nbformat.from_dict(json.loads(nbformat.writes(notebook)))
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": {"name": "python"}})
    for cell in notebook.cells:
        cell.metadata = nbformat.from_dict(
            {key: cell.metadata[key] for key in ("tags", "jupyter") if key in cell.metadata}
        )
        if "jupyter" in cell.metadata:
            cell.metadata.jupyter = {
                key: value for key, value in cell.metadata.jupyter.items() if key == "source_hidden" and value
            }
            if not cell.metadata.jupyter:
                del cell.metadata["jupyter"]
        if cell.cell_type != "code":
            continue
        cell.metadata.jupyter = nbformat.from_dict({"source_hidden": True})  # no code in sight
        if "nbval-ignore-output" in cell.metadata.get("tags", []):
            cell.outputs, cell.execution_count = [], None
        else:
            cell.execution_count = 1
            for output in cell.outputs:
                output.pop("execution_count", None)
                if output.output_type == "execute_result":
                    output.execution_count = 1
    return notebook


def text_of(notebook: nbformat.NotebookNode) -> str:
    """What is written to the file."""
    return (
        json.dumps(json.loads(nbformat.writes(notebook)), indent=1, ensure_ascii=False, sort_keys=True) + "\n"
    )


def main(fix: bool) -> int:
    """Report or mend; 1 when something was not clean."""
    dirty = 0
    for path in sorted(NOTEBOOKS.glob("*.ipynb")):
        wanted = text_of(cleaned(nbformat.read(path, as_version=4)))
        if path.read_text(encoding="utf-8") != wanted:
            dirty = 1
            print(
                f"{path.name}: {'mended' if fix else 'not clean, run python tests/clean_notebooks.py --fix'}"
            )
            if fix:
                path.write_text(wanted, encoding="utf-8")
    return 0 if fix else dirty


if __name__ == "__main__":
    sys.exit(main("--fix" in sys.argv[1:]))
