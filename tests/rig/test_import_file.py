"""A rig file made elsewhere: what can be read is taken over, the rest is kept or named, and nothing of the
reader's is lost.
"""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from towlib.errors import InputError
from towlib.rig import store as rig_store
from towlib.rig.import_file import import_bytes, import_file, import_text
from towlib.rig.store import RigStore
from towlib.rig.value_text import curve_points, leaves, text_of


@pytest.fixture
def store(tmp_path):
    store = RigStore(tmp_path / "mine")
    store.put("tow_vehicle.name", "mine")
    store.put("tow_vehicle.gvwr", "three tonnes")
    return store


def test_a_whole_file_comes_over_with_its_remarks_and_what_was_there_is_kept(store, tmp_path):
    text = (
        '# weighed in May\ninvented = true\n[tow_vehicle]\ngvwr = "3100 kg"  #'
        " sticker\n[tow_vehicle.gearbox]\nratios = [4.1, 2.3]\n"
    )
    (tmp_path / "friend.toml").write_text(text, encoding="utf-8")
    done = import_file(store, tmp_path / "friend.toml")
    assert store.path.read_text(encoding="utf-8") == text.replace("true", "false")
    assert done.values == 2 and done.was_invented and done.not_read == {} and done.not_known == ()
    assert done.kept_as == ("my_rig.toml.old", "my_rig_not_read.toml.old")
    assert 'name = "mine"' in (store.folder / "my_rig.toml.old").read_text(encoding="utf-8")
    assert "three tonnes" in (store.folder / "my_rig_not_read.toml.old").read_text(encoding="utf-8")
    assert store.unread() == {}


def test_a_second_import_writes_over_no_file_that_was_kept(store):
    for number in range(3):
        import_text(store, f'[tow_vehicle]\nname = "number {number}"', file="x.toml")
    names = {path.name: path.read_text(encoding="utf-8") for path in store.folder.glob("my_rig.toml*")}
    assert {name: tomllib.loads(text)["tow_vehicle"]["name"] for name, text in names.items()} == {
        "my_rig.toml": "number 2",
        "my_rig.toml.old": "mine",
        "my_rig.toml.old2": "number 0",
        "my_rig.toml.old3": "number 1",
    }


def test_of_a_partly_bad_file_the_good_is_taken_and_the_bad_kept_with_its_message(store):
    done = import_text(
        store,
        """[tow_vehicle]
gvwr = 3100
wheelbase = "3.3 m ± 1 cm"
colour = "red"
name = 5
[towed_vehicle]
brakes_fitted = "perhaps"
[[load]]
name = "me"
mass = "80 lbf"
[safety_chains]
links = "34"
""",
        file="x.toml",
    )
    assert store.unread() == {
        "tow_vehicle.gvwr": "3100",
        "towed_vehicle.brakes_fitted": "perhaps",
        "load.0.mass": "80 lbf",
    }
    assert store.text("tow_vehicle.wheelbase") == "3.3 m ± 1 cm" and store.text("tow_vehicle.name") == "5"
    assert (
        tomllib.loads(store.path.read_text(encoding="utf-8"))["safety_chains"]["links"] == 34
    )  # a number in quotes is one all the same
    assert done.not_known == ("tow_vehicle.colour",)
    for part in ("no unit", "lbf measures force", "'perhaps'", "'tow_vehicle.colour'", "my_rig.toml.old"):
        assert part in done.words("x.toml")
    with pytest.raises(InputError, match="required field"):
        store.rig()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing that could be read"),
        ("[broken", "not TOML"),
        ("tow_vehicle = 3", "nothing that could be read"),
        ('load = "x"', "nothing that could be read"),
        ('[tow_vehicle]\ngvwr = "3 m"', "m measures length"),
        ("x = " + "[" * 2000 + "]" * 2000, "nested too deep"),
    ],
)
def test_a_file_of_which_nothing_can_be_read_changes_nothing(store, text, said):
    before = {path.name: path.read_bytes() for path in store.folder.iterdir()}
    with pytest.raises(InputError, match="x.toml") as error:
        import_text(store, text, file="x.toml")
    assert said in str(error.value) and "\n" not in str(error.value)
    assert {path.name: path.read_bytes() for path in store.folder.iterdir()} == before


def test_too_large_binary_missing_and_a_folder(store, tmp_path):
    for content, said in ((b"x" * 1_000_001, "1.0 MB"), (b"\xff\xfe\x00", "not text"), (b"a\0b", "not text")):
        with pytest.raises(InputError, match="photo.jpg") as error:
            import_bytes(store, content, file="photo.jpg")
        assert said in str(error.value)
    for path in (tmp_path / "none.toml", tmp_path, "\0"):
        with pytest.raises(InputError):
            import_file(store, path)
    assert store.text("tow_vehicle.name") == "mine"


def test_a_full_disk_while_keeping_the_old_leaves_everything(store, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(rig_store.shutil, "copyfile", full)
    with pytest.raises(InputError, match="No space left"):
        import_text(store, '[tow_vehicle]\nname = "new"', file="x.toml")
    assert store.text("tow_vehicle.name") == "mine" and store.text("tow_vehicle.gvwr") == "three tonnes"


@pytest.mark.parametrize("name", ["demo_comfortable", "demo_overloaded"])
def test_every_value_of_a_demo_is_the_same_when_typed_again(tmp_path, data_folder, name):
    there, here = RigStore(tmp_path / "a"), RigStore(tmp_path / "b")
    import_file(there, data_folder / "rigs" / f"{name}.toml")
    texts = there.texts()
    rebuilt = rig_store.tomlkit.document()
    for path, text in texts.items():
        value, said = here.understood(path, text)
        assert said == "", path
        rig_store.put_in(rebuilt, path, value)
    here.replace(rig_store.tomlkit.dumps(rebuilt), {})
    assert here.rig() == there.rig() and here.texts() == texts


@settings(max_examples=80, deadline=None)
@given(
    tables=st.recursive(
        st.one_of(st.text(max_size=8), st.integers(-9, 9999), st.booleans(), st.floats(allow_nan=False)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(
                st.sampled_from(
                    [
                        "tow_vehicle",
                        "load",
                        "bracket",
                        "bolts",
                        "gvwr",
                        "name",
                        "mass",
                        "engine",
                        "curve",
                        "0",
                        "a.b",
                    ]
                ),
                inner,
                max_size=3,
            ),
        ),
        max_leaves=12,
    )
)
def test_whatever_a_file_holds_is_one_sentence_or_a_rig(tmp_path_factory, tables):
    store = RigStore(tmp_path_factory.mktemp("rig"))
    text = rig_store.tomlkit.dumps({"tow_vehicle": tables} if not isinstance(tables, dict) else tables)
    try:
        done = import_text(store, text, file="x.toml")
    except InputError as error:
        assert "\n" not in str(error)
        return
    for path, typed in store.texts().items():
        assert (store.understood(path, typed)[1] == "") is (path not in done.not_read), path
    assert set(store.unread()) == set(done.not_read)


def test_curves_on_one_line():
    assert curve_points("1500rpm 250Nm,3000 rpm 330 N·m") == [
        {"speed": "1500rpm", "torque": "250Nm"},
        {"speed": "3000 rpm", "torque": "330 N·m"},
    ]
    assert curve_points("1500 rpm: 250 Nm\n; 3000 rpm 1,000 lbf ft,") == [
        {"speed": "1500 rpm", "torque": "250 Nm"},
        {"speed": "3000 rpm", "torque": "1,000 lbf ft"},
    ]
    for text in ("1500 250", "rpm", "250 Nm 1500 rpm", "1500 rpm"):
        with pytest.raises(InputError, match="1500 rpm 250 Nm"):
            curve_points(text)
    points = [{"speed": "1500 rpm", "torque": "250 Nm"}, {"speed": "3000 rpm", "torque": "330 Nm"}]
    assert curve_points(text_of(points)) == points
    assert dict(leaves({"tow_vehicle": {"engine": {"curve": points}}})) == {
        "tow_vehicle.engine.curve": points
    }
