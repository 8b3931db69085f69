"""Encrypted backups: given back with their key, tried out, and told in a sentence where they do not open."""

import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pyrage
import pytest
from typer.testing import CliRunner

from dashboard.command_line import app
from dashboard.commands.keeping import PASSPHRASE_VARIABLE
from sql.backup import back_up, restore, try_out
from sql.encryption import BEGINS_WITH, Key, Lock, is_encrypted, make_key, read_key
from sql.folder import DataFolder, FolderProblem
from sql.made_backups import made_backups, which_to_restore
from tests.few_tables import few_tables
from tests.sql.old_backups import tiny_club

PASSPHRASE = "otter lamp quarry"


@pytest.fixture(scope="module", autouse=True)
def _few_tables() -> Iterator[None]:
    with few_tables():
        yield


@pytest.fixture(autouse=True)
def passing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The system's folder for passing files, for these tests."""
    place = tmp_path / "passing"
    place.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(place))
    return place


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    folder = DataFolder(tmp_path_factory.mktemp("encrypted") / "club")
    tiny_club.fill(folder)
    return folder


@pytest.fixture
def club(filled: DataFolder, tmp_path: Path) -> DataFolder:
    return DataFolder(Path(shutil.copytree(filled.path, tmp_path / "club")))


@pytest.fixture
def key(tmp_path: Path) -> tuple[Path, str]:
    """A key file, and its public half."""
    return tmp_path / "club.key", make_key(tmp_path / "club.key")


def backup_of(club: DataFolder, *public_keys: str) -> Path:
    (club.path.parent / "disk").mkdir()
    file = club.path.parent / "disk" / "club.zip.age"
    back_up(club, file, lock=Lock(public_keys))
    return file


def test_a_backup_is_given_back_with_its_key_and_holds_nothing_in_plain(
    club: DataFolder, key: tuple[Path, str], tmp_path: Path
) -> None:
    key_file, public = key
    file = backup_of(club, public)
    content = file.read_bytes()
    assert content.startswith(BEGINS_WITH)
    assert not any(word in content for word in (b"Ivo Tamm", b"warehouse.duckdb", b"manifest.json", b"PK\3\4"))
    assert [path.name for path in file.parent.iterdir()] == [file.name]
    assert not [path.name for path in club.path.iterdir() if "backup.zip" in path.name]
    assert (file.stat().st_mode & 0o777, key_file.stat().st_mode & 0o777) == (0o600, 0o600)

    restored = restore(file, DataFolder(tmp_path / "again"), key=read_key(key_file))

    assert restored.manifest.batches == len(tiny_club.FILES)
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".again")] == [], "the plain copy is gone"


def test_each_of_several_keys_opens_it(club: DataFolder, tmp_path: Path) -> None:
    publics = [make_key(tmp_path / f"{name}.key") for name in ("one", "two")]
    file = backup_of(club, *publics)

    for name in ("one", "two"):
        restored = restore(file, DataFolder(tmp_path / name), key=read_key(tmp_path / f"{name}.key"))
        assert restored.manifest.batches == len(tiny_club.FILES)


def test_another_program_that_reads_the_format_reads_it(club: DataFolder, key: tuple[Path, str]) -> None:
    """The library's own door, past ours; and the program `age`, where it is installed."""
    key_file, public = key
    file = backup_of(club, public)
    identity = pyrage.x25519.Identity.from_str(read_key(key_file).private_keys[0])

    plain = pyrage.decrypt(file.read_bytes(), [identity])
    assert plain.startswith(b"PK\3\4")
    if age := shutil.which("age"):
        done = subprocess.run([age, "-d", "-i", str(key_file), str(file)], capture_output=True, check=True)
        assert done.stdout == plain


def test_trying_it_out_opens_it_and_leaves_nothing_in_plain(
    club: DataFolder, key: tuple[Path, str], passing: Path
) -> None:
    key_file, public = key
    file = backup_of(club, public)

    tried = try_out(file, club, key=read_key(key_file))

    assert tried.different == ()
    assert [path.name for path in file.parent.iterdir()] == [file.name]
    assert list(passing.iterdir()) == []


def cut(content: bytes) -> bytes:
    return content[:-1000]


def cut_in_the_head(content: bytes) -> bytes:
    return content[:60]


def changed(content: bytes) -> bytes:
    middle = len(content) // 2
    return content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1 :]


def with_more(content: bytes) -> bytes:
    return content + b"more"


@pytest.mark.parametrize("harm", [cut, cut_in_the_head, changed, with_more])
def test_a_file_that_was_cut_or_changed_is_told_in_a_sentence_and_restores_nothing(
    club: DataFolder, key: tuple[Path, str], tmp_path: Path, harm: Callable[[bytes], bytes]
) -> None:
    key_file, public = key
    file = backup_of(club, public)
    file.write_bytes(harm(file.read_bytes()))
    again = DataFolder(tmp_path / "again")

    with pytest.raises(FolderProblem, match=r"was cut short or changed, and does not open\. Nothing was restored"):
        restore(file, again, key=read_key(key_file))
    assert not again.path.exists()


def test_a_wrong_key_none_or_a_passphrase_instead_are_told_apart(
    club: DataFolder, key: tuple[Path, str], tmp_path: Path
) -> None:
    file, again = backup_of(club, key[1]), DataFolder(tmp_path / "again")
    make_key(tmp_path / "other.key")

    with pytest.raises(FolderProblem, match="this key does not open it: it was encrypted for another one"):
        restore(file, again, key=read_key(tmp_path / "other.key"))
    for lacking in (None, Key(passphrase=PASSPHRASE)):
        with pytest.raises(FolderProblem, match=r"is encrypted\. Give the key file that opens it, with --key"):
            restore(file, again, key=lacking)


@pytest.mark.proof
def test_a_passphrase_opens_what_was_made_with_it_and_no_other(club: DataFolder, tmp_path: Path) -> None:
    file = tmp_path / "club.zip.age"
    back_up(club, file, lock=Lock(passphrase=PASSPHRASE))
    with pytest.raises(FolderProblem, match="the passphrase is another one"):
        restore(file, DataFolder(tmp_path / "again"), key=Key(passphrase="another passphrase"))
    with pytest.raises(FolderProblem, match="Give the passphrase that it was made with"):
        restore(file, DataFolder(tmp_path / "again"))

    assert restore(file, DataFolder(tmp_path / "again"), key=Key(passphrase=PASSPHRASE)).publication


@pytest.mark.parametrize("public", ["", "age1nonsense", "AGE-SECRET-KEY-1X", "ssh-rsa AAAA"])
def test_what_is_no_public_key_encrypts_nothing(public: str) -> None:
    with pytest.raises(FolderProblem, match="expected a public key"):
        Lock((public,))


def test_a_short_passphrase_is_refused() -> None:
    with pytest.raises(FolderProblem, match="saw a passphrase of 6 letters, expected 12 or more"):
        Lock(passphrase="abcdef")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "saw no private key"),
        (b"\xff\xfe\0", "saw no private key"),
        (b"AGE-SECRET-KEY-1QQ", "cut short or changed"),
    ],
)
def test_a_file_that_is_no_key_says_so(tmp_path: Path, content: bytes, told: str) -> None:
    (tmp_path / "a.key").write_bytes(content)

    with pytest.raises(FolderProblem, match=told):
        read_key(tmp_path / "a.key")


def test_a_key_is_never_written_over_another(key: tuple[Path, str]) -> None:
    with pytest.raises(FolderProblem, match="Name a file that is not there yet"):
        make_key(key[0])


def test_it_is_named_where_a_folder_is_damaged_as_long_as_it_is_what_was_written(
    club: DataFolder, key: tuple[Path, str]
) -> None:
    """Without the key nobody looks into it: its fingerprint tells whether it is what was written."""
    file = backup_of(club, key[1])
    assert made_backups(club)[0].encrypted_sha256
    assert f"halflong restore {file} --data DIR --key KEYFILE" in which_to_restore(club)
    file.write_bytes(file.read_bytes()[:-1])

    assert "No sound backup is known here" in which_to_restore(club)


def halflong(*command: str, passphrase: str = "") -> str:
    answer = CliRunner().invoke(app, command, env={PASSPHRASE_VARIABLE: passphrase})
    assert answer.exit_code == 0, (answer.output, answer.exception)
    return answer.output


def test_the_commands_make_a_key_a_backup_and_give_it_back(club: DataFolder, tmp_path: Path) -> None:
    key, file, data = str(tmp_path / "a.key"), str(tmp_path / "club.zip.age"), str(club.path)
    public = halflong("backup-key", key).splitlines()[0].removeprefix("Public key: ")
    said = halflong("backup", file, "--data", data, "--encrypt-for", public, "--try", "--key", key)
    assert "encrypted" in said
    assert "Every published table says the same" in said
    assert is_encrypted(Path(file))

    assert "restored, verified and published" in halflong("try-backup", file, "--key", key)
    assert "verified and published" in halflong("restore", file, "--data", str(tmp_path / "again"), "--key", key)


def test_the_commands_take_a_passphrase_from_the_environment_or_ask_for_none_in_a_pipe(
    club: DataFolder, tmp_path: Path
) -> None:
    file, data = str(tmp_path / "club.zip.age"), str(club.path)
    halflong("backup", file, "--data", data, "--passphrase", "--try", passphrase=PASSPHRASE)
    halflong("try-backup", file, passphrase=PASSPHRASE)
    answer = CliRunner().invoke(app, ["try-backup", file], env={PASSPHRASE_VARIABLE: ""})

    assert answer.exit_code == 2
    assert f"Put it into {PASSPHRASE_VARIABLE}" in " ".join(answer.output.replace("│", " ").split())
