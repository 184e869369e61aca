"""Which rig the panels show, the invented one of the lesson or the reader's own, and what is changed in
it.
"""

from functools import lru_cache

from towlib.paths import DATA
from towlib.rig.model import Rig, load_rig
from towlib.rig.store import RigStore


@lru_cache(maxsize=16)
def invented(name: str) -> Rig:
    """An invented rig of the workbook."""
    return load_rig(DATA / "rigs" / f"{name}.toml")


def readers_own(_: str) -> Rig:
    """The reader's rig as it is in their file now; InputError while it cannot be read."""
    return RigStore().rig()


def keep(changes: dict[str, str]) -> tuple[str, dict[str, str]]:
    """Write values into the reader's rig; a sentence, and what stood there before for one step back."""
    store = RigStore()
    texts = store.texts()
    before = {path: texts.get(path, "") for path in changes}
    said = [store.put(path, text) for path, text in changes.items()]
    wrong = [words for words in said if words]
    return wrong[0] if wrong else "", before
