"""Plain help pages in two parts: the command's own options, then those that describe a wall."""

from __future__ import annotations

from typing import Any

from typer.core import TyperCommand

FIRST = "Options"


class PartedCommand(TyperCommand):
    """A command whose help lists its options part by part, the command's own first."""

    def format_options(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401  (the parser's own types)
        """Write the options.

        Args:
            ctx: the parser's context.
            formatter: what writes the page.
        """
        parts: dict[str, list[tuple[str, str]]] = {FIRST: []}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is not None:
                parts.setdefault(getattr(param, "rich_help_panel", None) or FIRST, []).append(record)
        for name, records in parts.items():
            if records:
                with formatter.section(name):
                    formatter.write_dl(records)
