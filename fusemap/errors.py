"""The errors a user can cause, and nothing else.

FusemapError            expected: says what is wrong, where, and what to do
├── FileProblem         a file that cannot be read or written
├── EditRefused         an edit that would leave the vehicle in an impossible state
└── InputProblem        a number or word that makes no sense where it was given

Anything that is not a FusemapError is a fault of the program.
"""

from fusemap.text import Text, Words


class FusemapError(Exception):
    """An expected error: what is wrong, where, and what the user can do about it.

    Each is a text; a `where` that is a plain `str` is a name: a file, the path to a field, an
    argument. `text` is one line, ``where: what (remedy)``, leaving out what was not given, and
    `str()` its English.
    """

    def __init__(self, what: Words, where: Words = "", remedy: Words = "") -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        super().__init__(str(self))

    @property
    def text(self) -> Text:
        """All of it on one line."""
        parts = {"where": self.where, "what": self.what, "remedy": self.remedy}
        head = "{where}: {what}" if self.where else "{what}"
        return Text(f"{head} ({{remedy}})" if self.remedy else head, parts, bare=True)

    def __str__(self) -> str:
        return str(self.text)


class FileProblem(FusemapError):
    """A vehicle file that cannot be read or written; `where` is the field's path, or the file."""


class EditRefused(FusemapError):
    """An edit that would leave the vehicle in an impossible state; nothing has been changed."""


class InputProblem(FusemapError):
    """A value outside what its equation or table holds for; `where` names the argument."""
