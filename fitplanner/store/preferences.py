"""The preferences on the disk; a damaged file costs the settings, never the start."""

from pathlib import Path

from fitplanner import paths
from fitplanner.documents import codec
from fitplanner.documents.preferences import PREFERENCES, Preferences
from fitplanner.store.files import read_or_set_aside, write_text


def load_preferences(path: Path | None = None) -> tuple[Preferences, str]:
    """Read the preferences, or defaults with a message where the file was damaged.

    Raises:
        StoreError: the file exists but cannot be read.
    """
    return read_or_set_aside(
        path or _default_path(), lambda text: codec.load(PREFERENCES, text), Preferences()
    )


def save_preferences(preferences: Preferences, path: Path | None = None) -> None:
    """Write the preferences; raises `StoreError` where that fails."""
    # The address of the shop's database may hold a password.
    write_text(path or _default_path(), codec.dump(preferences), private=True)


def _default_path() -> Path:
    return paths.user_data_dir() / "preferences.json"
