"""What the program remembers between two starts: recent files, window sizes, theme, words.

One small JSON file in the user's configuration folder (or where FUSEMAP_SETTINGS_DIR says). It is
a convenience: a file that is missing or broken gives the defaults, field by field, and a folder
that cannot be written to costs the memory and nothing else. No Qt.
"""

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Final, Literal

import msgspec

MOST_RECENT: Final = 8
MOST_PAPERS: Final = 40
"""Of so many files the ticks of the paper are remembered."""
AS_BYTES: Final = "bytes:"
"""Before a path that is no text: each of its bytes as one letter. No absolute path begins so."""


ThemeChoice = Literal["light", "dark", "system"]
EarthWord = Literal["earth", "ground"]
LanguageChoice = Literal["system", "en", "de", "es", "fr", "nl"]
LengthUnit = Literal["m", "ft"]
TemperatureUnit = Literal["°C", "°F"]
SectionUnit = Literal["mm²", "AWG"]
PhotoStrength = Literal["off", "faint", "strong", "alone"]


class Kept(msgspec.Struct, kw_only=True):
    """What is kept. `geometry` and `splitters` are Qt's own states in base 64."""

    recent: list[str] = msgspec.field(default_factory=list)
    geometry: str = ""
    splitters: dict[str, str] = msgspec.field(default_factory=dict)
    theme: ThemeChoice = "system"
    earth_word: EarthWord = "earth"
    language: LanguageChoice = "system"
    length_unit: LengthUnit = "m"
    temperature_unit: TemperatureUnit = "°C"
    section_unit: SectionUnit = "mm²"
    stage_sound: bool = True
    stage_voice: bool = False
    stage_pad: bool = False
    tour_at: int = 0
    photo_strength: PhotoStrength = "faint"
    paper: dict[str, list[str]] = msgspec.field(default_factory=dict)
    labels: dict[str, str] = msgspec.field(default_factory=dict)


class Settings:
    """The kept values with their file. Change `kept`, then `save`."""

    def __init__(self, folder: Path | None = None) -> None:
        self.path = (folder or settings_folder()) / "settings.json"
        self.kept = _read(self.path)

    def save(self) -> bool:
        """Write the values; says whether that was possible."""
        # Imported here: with it comes all that reads vehicles, which a start does without.
        from fusemap.files.atomic import FILE_MODE, make_folder

        new = self.path.with_name(f"{self.path.name}.{os.getpid()}.new")
        try:
            text = msgspec.json.format(msgspec.json.encode(self.kept), indent=2)
            make_folder(self.path.parent)
            new.touch(FILE_MODE)
            new.write_bytes(text)
            new.replace(self.path)
        except (OSError, ValueError):  # no room for it, or what cannot be written as text
            with suppress(OSError):
                new.unlink()
            return False
        return True

    def add_recent(self, path: Path) -> None:
        """Put a file at the head of the recent ones."""
        name = _path_text(path)
        others = [other for other in self.kept.recent if other != name]
        self.kept.recent = [name, *others][:MOST_RECENT]
        self.save()

    def drop_recent(self, path: Path) -> None:
        """Forget a recent file that could not be opened."""
        gone = _path_text(path)
        self.kept.recent = [name for name in self.kept.recent if name != gone]
        self.save()

    def paper_of(self, path: Path) -> tuple[str, ...]:
        """The parts of the paper that were ticked for a file; none where nobody chose."""
        return tuple(self.kept.paper.get(_path_text(path), ()))

    def keep_paper(self, path: Path, parts: Sequence[str]) -> None:
        """Remember which parts of the paper are ticked for a file; the oldest files are dropped."""
        name = _path_text(path)
        others = {other: kept for other, kept in self.kept.paper.items() if other != name}
        self.kept.paper = dict([*others.items(), (name, list(parts))][-MOST_PAPERS:])
        self.save()

    def labels_of(self, path: Path) -> str:
        """What labels are printed on for a file, as a word; empty where nobody chose."""
        return self.kept.labels.get(_path_text(path), "")

    def keep_labels(self, path: Path, stock: str) -> None:
        """Remember what labels are printed on for a file; the oldest files are dropped."""
        name = _path_text(path)
        others = {other: kept for other, kept in self.kept.labels.items() if other != name}
        self.kept.labels = dict([*others.items(), (name, stock)][-MOST_PAPERS:])
        self.save()

    @property
    def recent(self) -> tuple[Path, ...]:
        """The recent files, newest first."""
        return tuple(_text_path(name) for name in self.kept.recent)


def settings_folder() -> Path:
    """Where settings are kept."""
    given = os.environ.get("FUSEMAP_SETTINGS_DIR")
    if given:
        return Path(given)
    # loaded when it is first needed: the start stays short
    from platformdirs import user_config_path

    return user_config_path("fusemap", appauthor=False)


def state_folder() -> Path:
    """Where unsaved work is kept against a crash."""
    given = os.environ.get("FUSEMAP_SETTINGS_DIR")
    if given:
        return Path(given)
    # loaded when it is first needed: the start stays short
    from platformdirs import user_state_path

    return user_state_path("fusemap", appauthor=False)


def _path_text(path: Path) -> str:
    """A path as text that can be written, for any name a file can have."""
    name = str(path.absolute())
    try:
        name.encode()
    except UnicodeEncodeError:
        return AS_BYTES + os.fsencode(name).decode("latin-1")
    return name


def _text_path(text: str) -> Path:
    if not text.startswith(AS_BYTES):
        return Path(text)
    return Path(os.fsdecode(text.removeprefix(AS_BYTES).encode("latin-1", "replace")))


def _read(path: Path) -> Kept:
    """The kept values; each field that makes no sense has its default."""
    try:
        found = msgspec.json.decode(path.read_bytes())
    except (OSError, msgspec.DecodeError, UnicodeDecodeError):
        return Kept()
    kept = Kept()
    if isinstance(found, dict):
        for field in msgspec.structs.fields(Kept):
            if field.name in found:
                _take(kept, field.name, field.type, found[field.name])
    return kept


def _take(kept: Kept, name: str, kind: Any, value: Any) -> None:
    with suppress(msgspec.ValidationError):
        setattr(kept, name, msgspec.convert(value, kind))
