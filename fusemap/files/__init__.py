"""Vehicle files: what stands in them, how they are read, and how they are written.

`document_file` turns a vehicle into text and back, `upgrades` holds the history of the format,
`validate` asks the tables whether what a file names exists, `atomic` writes. `kept` holds work that
is not saved yet, `backups` earlier versions, `lock` says who has a file open, `demos` holds the
vehicles that come with the program. Every problem is a `FileProblem`.
"""

from fusemap.files.document_file import (
    FORMAT,
    SUFFIX,
    VERSION,
    compact,
    parse,
    read_vehicle,
    render,
    write_vehicle,
)

__all__ = [
    "FORMAT",
    "SUFFIX",
    "VERSION",
    "compact",
    "parse",
    "read_vehicle",
    "render",
    "write_vehicle",
]
