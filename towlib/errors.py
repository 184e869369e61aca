"""The one error a reader can meet: it names the file, the field, what was found and what is wanted."""


class InputError(ValueError):
    """Something the reader gave cannot be used; the message is one plain sentence."""

    def __init__(self, found: str, wanted: str, *, field: str = "", file: str = ""):
        self.found, self.wanted, self.field, self.file = found, wanted, field, file
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        place = ", ".join(part for part in (self.file, self.field and f"field '{self.field}'") if part)
        start = f"{place}: " if place else ""
        return f"{start}found {self.found}; wanted {self.wanted}."

    def at(self, *, file: str = "", field: str = "") -> "InputError":
        """The same error with its place filled in where it was not known yet."""
        return InputError(self.found, self.wanted, field=self.field or field, file=self.file or file)


def quote(text: object, longest: int = 60) -> str:
    """What was found, in quotes, shortened so that a hostile text cannot fill the screen."""
    shown = str(text).replace("\n", " ").replace("\r", " ")
    shown = "".join(char if char.isprintable() else "?" for char in shown[: longest + 1])
    return f"'{shown[:longest]}…'" if len(shown) > longest else f"'{shown}'"
