"""Tables that a notebook shows, readable on the page and as plain text."""

import html
from collections.abc import Sequence

from towlib.handbook.tables import Compared


def table_html(heads: Sequence[str], rows: Sequence[Sequence[str]], notes: Sequence[str] = ()) -> str:
    """A table of words for a page, with sentences under it."""

    def cells(kind: str, row: Sequence[str]) -> str:
        return "".join(f"<{kind} style='text-align:left'>{html.escape(part)}</{kind}>" for part in row)

    body = "".join(f"<tr>{line}</tr>" for line in (cells("th", heads), *(cells("td", row) for row in rows)))
    return f"<table>{body}</table>" + "".join(f"<p>{html.escape(note)}</p>" for note in notes)


class Table:
    """A table with sentences under it; as text, one row a line."""

    def __init__(self, heads: Sequence[str], rows: Sequence[Sequence[str]], *notes: str):
        self.heads, self.rows, self.notes = heads, rows, notes

    def __repr__(self) -> str:
        return "\n".join([*(" | ".join(row) for row in (self.heads, *self.rows)), *self.notes])

    def _repr_html_(self) -> str:
        return table_html(self.heads, self.rows, self.notes)


class Tables:
    """Tables one under the other, as a notebook shows them."""

    def __init__(self, *tables: Table):
        self.tables = tables

    def __repr__(self) -> str:
        return "\n\n".join(map(repr, self.tables))

    def _repr_html_(self) -> str:
        return "".join(table._repr_html_() for table in self.tables)


class Worked(Table):
    """Worked examples as a table: what the source says, what we compute, the difference, the source."""

    def __init__(self, rows: Sequence[Compared], notes: Sequence[str] = ()):
        super().__init__(("quantity", "source says", "we compute", "difference", "source"), rows, *notes)

    def __repr__(self) -> str:
        return "\n".join([*(f"{row[0]}: {row}" for row in self.rows), *self.notes])
