"""The findings that are still open, in the sheet's language.

In: a subject. Out: one `FindingNote` each, worst first. Sentences of the checks that a language
does not know stay as they are. No Qt.
"""

from fusemap.checks import SEVERITIES, Finding
from fusemap.sheet.content import FindingNote
from fusemap.sheet.language import named
from fusemap.sheet.subject import Subject


def notes(subject: Subject) -> tuple[FindingNote, ...]:
    """All findings, worst first."""
    return tuple(note(subject, finding) for finding in subject.findings)


def note(subject: Subject, finding: Finding) -> FindingNote:
    """One finding."""
    say = subject.language.phrase
    return FindingNote(
        severity=finding.severity,
        word=subject.say(f"severity.{finding.severity}"),
        where=where(subject, finding),
        what=named(say(str(finding.what))),
        sum=named(say(str(finding.sum))),
        remedy=named(say(str(finding.remedy))),
    )


def where(subject: Subject, finding: Finding) -> str:
    """The place of a finding; the battery and the vehicle by their words."""
    if finding.place == "battery":
        return subject.say("battery")
    return named(subject.language.phrase(finding.where)) or subject.say("vehicle")


def counted(subject: Subject) -> str:
    """How many there are of each severity."""
    counts = [
        (severity, sum(finding.severity == severity for finding in subject.findings))
        for severity in SEVERITIES
    ]
    return ", ".join(
        f"{count} × {subject.say(f'severity.{severity}')}" for severity, count in counts if count
    )
