"""Vehicle files: what stands in them, how they are read, and how they are written.

`document_file` reads and saves a vehicle, `upgrades` holds the history of the format. `validate`
turns a vehicle into the text of its file and is the one gate for what may exist: it is asked at
each edit and whenever a vehicle is read, saved or kept. `atomic` writes. `kept` holds work that
is not saved yet, `backups` earlier versions, `lock` says who has a file open, `demos` holds the
vehicles that come with the program. Every problem is a `FileProblem`.
"""

from fusemap.files.document_file import SUFFIX, parse, read_vehicle, write_vehicle
from fusemap.files.validate import FORMAT, VERSION, compact, render

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
