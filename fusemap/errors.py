"""The errors a user can cause, and nothing else.

FusemapError            expected: says what is wrong, where, and what to do
├── FileProblem         a file that cannot be read or written
├── EditRefused         an edit that would leave the vehicle in an impossible state
└── InputProblem        a number or word that makes no sense where it was given

Anything that is not a FusemapError is a fault of the program.
"""

from fusemap.text import Text, say


class FusemapError(Exception):
    """An expected error: what is wrong, where, and what the user can do about it.

    `text` gives one line: ``where: what (remedy)``, leaving out what was not given; `str()` the
    same in English.
    """

    def __init__(self, what: Text | str, where: Text | str = "", remedy: Text | str = "") -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        super().__init__(str(self))

    @property
    def text(self) -> Text:
        """The error as one line."""
        if self.where and self.remedy:
            return say(
                "{where}: {what} ({remedy})", where=self.where, what=self.what, remedy=self.remedy
            )
        if self.where:
            return say("{where}: {what}", where=self.where, what=self.what)
        if self.remedy:
            return say("{what} ({remedy})", what=self.what, remedy=self.remedy)
        return say("{what}", what=self.what)

    def __str__(self) -> str:
        return str(self.text)


class FileProblem(FusemapError):
    """A vehicle file that cannot be read or written; `where` is the field's path, or the file."""


class EditRefused(FusemapError):
    """An edit that would leave the vehicle in an impossible state; nothing has been changed."""


class InputProblem(FusemapError):
    """A value outside what its equation or table holds for; `where` names the argument."""
