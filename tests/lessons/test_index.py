"""The list of lessons: the same in the index, on the shelf, in README.md and in 00_start_here."""

from towlib.lessons.index import FIRST, ROOMS, lesson_of, write_tables
from towlib.lessons.slider_rows import panels_of
from towlib.paths import DATA, NOTEBOOKS, REPOSITORY


def test_every_lesson_has_its_room_rows_and_notebook():
    keys = [*FIRST, *ROOMS]
    assert keys == sorted(path.stem for path in NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
    assert keys == sorted(path.stem for path in (DATA / "lessons").glob("*.toml"))
    for key in ROOMS:
        assert lesson_of(key).key == key
        assert {panel.name for panel in lesson_of(key).panels} == set(panels_of(key))
    folders = {path.name for path in (REPOSITORY / "towlib" / "lessons").glob("l[0-9][0-9]_*")}
    assert folders == {room.folder for room in (FIRST | ROOMS).values()}


def test_readme_and_first_notebook_list_them_as_the_command_writes_them(tmp_path):
    readme, start = REPOSITORY / "README.md", NOTEBOOKS / "00_start_here.ipynb"
    copies = tmp_path / "README.md", tmp_path / "00_start_here.ipynb"
    for path, copy in zip((readme, start), copies, strict=True):
        copy.write_bytes(path.read_bytes())
    write_tables(*copies)
    for path, copy in zip((readme, start), copies, strict=True):
        text = copy.read_text(encoding="utf-8")
        assert text == path.read_text(encoding="utf-8"), "run python -m towlib.lessons.index"
        assert all(key in text and room.question in text for key, room in ROOMS.items())
