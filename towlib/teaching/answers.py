"""The reader's guesses, kept beside their rig file as plain text."""

import tomlkit

from towlib.errors import InputError
from towlib.rig import read_text
from towlib.rig_store import reader_folder, write_whole

NAME = "my_answers.toml"


def recall(key: str) -> str:
    """What was written under a key such as '01.predict-1'; '' when nothing, or when the file cannot be read."""
    path = reader_folder() / NAME
    if not path.exists():
        return ""
    try:
        return str(tomlkit.parse(read_text(path, 1_000_000, wanted="a text file")).get(key, ""))
    except (InputError, tomlkit.exceptions.TOMLKitError):
        return ""


def remember(key: str, words: str) -> str:
    """Keep what was written; returns a line that says so, or why not."""
    path = reader_folder() / NAME
    try:
        document = tomlkit.parse(read_text(path, 1_000_000, wanted="a text file")) if path.exists() else tomlkit.document()
        document[key] = words
        write_whole(path, tomlkit.dumps(document))
    except (InputError, tomlkit.exceptions.TOMLKitError) as error:
        return f"Not kept: {error}"
    return "Kept. Now move the sliders."
