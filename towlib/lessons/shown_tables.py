"""Tables that a notebook shows, readable on the page and as plain text."""

import html
from typing import NamedTuple


class Listed(NamedTuple):
    """A table with its head, and a sentence under it."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str

    def __str__(self) -> str:
        return "\n".join([*(" | ".join(row) for row in (self.heads, *self.rows)), self.note])

    def html(self) -> str:
        """The table for a page."""
        head = "".join(f"<th style='text-align:left'>{html.escape(name)}</th>" for name in self.heads)
        rows = "".join(
            "<tr>"
            + "".join(f"<td style='text-align:left'>{html.escape(part)}</td>" for part in row)
            + "</tr>"
            for row in self.rows
        )
        return f"<table><tr>{head}</tr>{rows}</table><p>{html.escape(self.note)}</p>"


class Tables:
    """Tables one under the other, as a notebook shows them."""

    def __init__(self, *tables: Listed):
        self.tables = tables

    def __repr__(self) -> str:
        return "\n\n".join(map(str, self.tables))

    def _repr_html_(self) -> str:
        return "".join(table.html() for table in self.tables)
