"""`fusemap tables`: every published table with its sources; with a name, the table itself.

JSON keys: tables[] (key, title, rows, by_status, sources), or key, title, columns, rows.
"""

import argparse
from typing import Any

from fusemap import tables


def add(commands: Any) -> None:
    """Tell the parser this command's arguments."""
    parser = commands.add_parser(
        "tables",
        help="the published tables and their sources",
        description="List the tables, or show one of them.",
        epilog=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("table", nargs="?", default=None, metavar="TABLE")
    parser.add_argument(
        "--memory", action="store_true", help="only what is from memory and unverified"
    )
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")


def answer(asked: argparse.Namespace) -> tuple[int, dict[str, Any], str]:
    """List all tables or show one. Raises InputProblem for a table that is not there."""
    if asked.table is not None:
        return _one(tables.table(asked.table), asked.memory)
    if asked.memory:
        return _memory()
    found = tables.all_tables()
    data = {
        "tables": [
            {
                "key": info.key,
                "title": str(info.title),
                "rows": len(info.rows),
                "by_status": dict(info.by_status),
                "sources": list(info.sources),
            }
            for info in found
        ]
    }
    lines = []
    for info in found:
        counted = ", ".join(f"{n} {status}" for status, n in info.by_status.items())
        lines.append(f"{info.key:18} {info.title}: {len(info.rows)} rows ({counted})")
        lines += [f"{'':18}   {source}" for source in info.sources]
    return 0, data, "\n".join(lines)


def _one(info: tables.TableInfo, memory: bool) -> tuple[int, dict[str, Any], str]:
    status = info.columns.index("status")
    rows = [row for row in info.rows if not memory or row[status] == "memory"]
    data = {
        "key": info.key,
        "title": str(info.title),
        "columns": list(info.columns),
        "rows": [list(row) for row in rows],
    }
    widths = [max(map(len, column)) for column in zip(info.columns, *rows, strict=True)]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in (info.columns, *rows)
    ]
    return 0, data, "\n".join([str(info.title), *lines])


def _memory() -> tuple[int, dict[str, Any], str]:
    """Every row that is from memory, table by table."""
    shown = [_one(info, memory=True) for info in tables.all_tables() if info.by_status["memory"]]
    return (
        0,
        {"tables": [data for _, data, _ in shown]},
        "\n\n".join(text for _, _, text in shown),
    )
