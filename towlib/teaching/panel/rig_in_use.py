"""Which rig the panels show, the invented one of the lesson or the reader's own, and what is changed in
it.
"""

from collections.abc import Sequence
from functools import lru_cache

from towlib.errors import InputError
from towlib.paths import DATA
from towlib.print.field_lists import SECTIONS, need_field, rig_fields
from towlib.rig.model import Rig, load_rig, row_of
from towlib.rig.store import RIG_NAME, RigStore


class NoRigYet(InputError):
    """The reader's rig lacks fields without which there is none; `missing` holds their paths."""

    def __init__(self, missing: Sequence[str]):
        self.missing = tuple(missing)
        by_section: dict[str, list[str]] = {}
        for path in missing:
            words = need_field(path).label.partition(",")[0]
            by_section.setdefault(SECTIONS[path.rpartition(".")[0]], []).append(words)
        wanted = "; ".join(f"{section}: {', '.join(words)}" for section, words in by_section.items())
        super().__init__("too little to begin with", wanted, file=RIG_NAME)


@lru_cache(maxsize=16)
def invented(name: str) -> Rig:
    """An invented rig of the workbook."""
    return load_rig(DATA / "rigs" / f"{name}.toml")


def readers_own(_: str) -> Rig:
    """The reader's rig as it is in their file now; InputError while it cannot be read."""
    store = RigStore()
    try:
        return store.rig()
    except InputError:
        answered = store.texts().keys() - store.unread().keys()
        needed = [field.path for field in rig_fields() if field.required and not row_of(field.path)]
        missing = [path for path in needed if path not in answered]
        if missing:
            raise NoRigYet(missing) from None
        raise


def keep(changes: dict[str, str]) -> tuple[str, dict[str, str]]:
    """Write values into the reader's rig; a sentence, and what stood there before for one step back."""
    store = RigStore()
    texts = store.texts()
    before = {path: texts.get(path, "") for path in changes}
    said = [store.put(path, text) for path, text in changes.items()]
    wrong = [words for words in said if words]
    return wrong[0] if wrong else "", before
