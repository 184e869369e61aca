"""In a notebook an InputError is its one sentence, without the pages of code above it."""

import sys
from typing import Any

from towlib.errors import InputError


def use_plain_errors() -> None:
    """Show the sentence alone from now on; every other error keeps its traceback. Does nothing outside a
    notebook.
    """
    ipython = sys.modules.get("IPython")
    shell = ipython.get_ipython() if ipython else None
    if shell is not None:
        shell.set_custom_exc((InputError,), _show)


def _show(_: Any, __: type, error: BaseException, ___: Any, tb_offset: int | None = None) -> None:
    print(error, file=sys.stderr)
