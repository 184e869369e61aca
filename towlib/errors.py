"""The one error a reader can meet: it names the file, the field, what was found and what is wanted."""

from pathlib import Path

LONGEST_FIELD, LONGEST_FOUND = 60, 200  # characters of a file's own names and texts in a sentence


class InputError(ValueError):
    """Something the reader gave cannot be used; the message is one plain sentence on one line, whatever a
    file holds.
    """

    def __init__(self, found: str, wanted: str, *, field: str = "", file: str = ""):
        self.found, self.wanted, self.field, self.file = found, wanted, field, file
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        field = _plain(self.field, LONGEST_FIELD)
        place = ", ".join(part for part in (_plain(self.file), field and f"field '{field}'") if part)
        start = f"{place}: " if place else ""
        return f"{start}found {_plain(self.found, LONGEST_FOUND)}; wanted {_plain(self.wanted)}."

    def at(self, *, file: str = "", field: str = "") -> "InputError":
        """The same error with its place filled in where it was not known yet."""
        return InputError(self.found, self.wanted, field=self.field or field, file=self.file or file)


def quote(text: object, longest: int = 60) -> str:
    """What was found, in quotes, shortened so that a hostile text cannot fill the screen."""
    try:
        shown = str(text)
    except (
        ValueError,
        RecursionError,
    ):  # Python writes no number of thousands of digits and no list of a thousand levels
        shown = f"a {type(text).__name__} too long to show"
    return f"'{_plain(shown, longest)}'"


def file_words(path: Path, longest: int = 120) -> str:
    """A file's name as a reader gave it; of a very long one the end, which tells most."""
    shown = str(path)
    return _plain(f"…{shown[-longest:]}" if len(shown) > longest else shown)


def one_line(text: str) -> str:
    """A name from outside on one line, without what would not print."""
    return _plain(text)


def _plain(text: str, longest: int | None = None) -> str:
    """Text on one line, without what would not print, and cut where it is too long."""
    shown = text if longest is None else text[: longest + 1]
    shown = "".join(" " if char.isspace() else char for char in shown)
    shown = "".join(char if char.isprintable() else "?" for char in shown)
    return f"{shown[:longest]}…" if longest is not None and len(shown) > longest else shown
