"""The cache of answers: the same words with it and without it, and never an answer of yesterday's book."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.files import read_files
from labeller.cli import answer_cache
from labeller.cli.answer import answer
from labeller.declarations.facts import BookFacts
from labeller.demonstration.place import demonstration_book
from tests.benchmarks.answering import write_book
from tests.kitchens import Kitchen, plate

DAY = date(2026, 11, 25)
PROGRAM = "import sys; from labeller.cli.main import main; sys.exit(main())"
GOODS = '- ingredient: nut paste\n  spec: {statement: "HAZELNUTS, sugar"}\n- ingredient: plum jam\n  spec: {statement: "Plums, sugar"}\n'
# Words guests use; some are unknown, misspelt, claims or figures on purpose.
WORDS = (
    "alcohol", "milk", "nuts", "gluten", "sulphites", "hazelnut", "cod", "dairy", "shellfish", "kiwi", "garlic", "citrus", "lemon", "pork",
    "beef", "vegan", "vegetarian", "meat", "caffeine", "energy", "sugars", "salt", "vitamin d", "starch", "carbs", "gelatine", "wine", "honey",
    "turmeric", "paprika", "spices", "shad", "hazlenut", "gluten free", "halal", "zzz", "", "mixture 3", "stone mill butter", "onions",
    "lactose", "cream", "yeast", "walnut oil", "chilli", "peanuts", "wheat flour", "palm oil", "polyols", "coffee", "and",
)  # fmt: skip

Told = tuple[int | str | None, str, str]


class Asking:
    """Puts questions in this process, each as a run of its own would."""

    def __init__(self, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
        self.capsys, self.monkeypatch = capsys, monkeypatch

    def ask(
        self,
        book: Path,
        cache: Path | None,
        *,
        of: str | None = None,
        about: str | None = None,
        without: tuple[str, ...] = (),
        law: str | None = None,
        on: date = DAY,
        json_out: bool = False,
        language: str | None = None,
        menu: str | None = None,
    ) -> Told:
        self.monkeypatch.setenv(answer_cache.VARIABLE, str(cache) if cache is not None else "off")
        code: int | str | None
        try:
            code = answer(book, of, about, list(without), menu, law, on, json_out, language)
        except SystemExit as end:
            code = end.code
        answer_cache.keep_now()
        said = self.capsys.readouterr()
        return code, said.out, said.err


@pytest.fixture
def asking(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Asking:
    return Asking(capsys, monkeypatch)


def kept_in(cache: Path) -> list[Path]:
    return sorted(cache.glob(f"*{answer_cache.ENDING}"))


def never(*arguments: Any, **named: Any) -> BookFacts:
    raise AssertionError("the book was worked out, and its facts are in the cache")


def only_from_the_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(answer_cache, "_worked_out", never)


def random_question(chance: random.Random, dishes: list[str]) -> dict[str, Any]:
    words = [*WORDS, *chance.sample(sorted(load_vocabulary().sources), 6)]
    common = {"json_out": chance.random() < 0.4, "language": chance.choice((None, None, "fr", "de", "pl"))}
    if chance.random() < 0.6:
        return {**common, "of": chance.choice(dishes), "about": chance.choice(words)}
    return {**common, "without": tuple(chance.choice(words) for _ in range(chance.randint(1, 3)))}


@pytest.mark.property
@pytest.mark.parametrize(("seed", "law"), [(1, None), (2, "us"), (3, "au-nz")])
def test_with_the_cache_and_without_it_the_same_is_said(
    seed: int, law: str | None, tmp_path: Path, asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, cache = tmp_path / "book", tmp_path / "cache"
    write_book(book, seed, dishes=5, preparations=10, ingredients=40)
    chance = random.Random(seed)  # noqa: S311 - the same questions each time
    dishes = [f"plate number {number}" for number in range(5)]
    questions = [random_question(chance, dishes) for _ in range(30)]
    plain = [asking.ask(book, None, law=law, **one) for one in questions]
    asking.ask(book, cache, law=law, without=("nuts",))
    assert len(kept_in(cache)) == 1
    only_from_the_cache(monkeypatch)
    kept = [asking.ask(book, cache, law=law, **one) for one in questions]
    for question, without_cache, with_cache in zip(questions, plain, kept, strict=True):
        assert with_cache == without_cache, question
    assert {told[0] for told in plain} >= {0, 2, 3}


def test_the_demo_book_says_the_same_from_the_cache(
    tmp_path: Path, asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = demonstration_book()
    questions: list[dict[str, Any]] = [
        {"of": "apple crumble", "about": "alcohol"},
        {"of": "apple crumble", "about": "nuts", "language": "it"},
        {"of": "braised short rib", "about": "wine"},
        {"of": "pear", "about": "sugars", "json_out": True},
        {"without": ("milk", "gluten", "alcohol"), "json_out": True},
        {"without": ("sulphites",)},
        {"without": ("nuts",), "menu": "no such menu"},
        {"of": "no such dish", "about": "milk"},
    ]
    plain = [asking.ask(book, None, **one) for one in questions]
    asking.ask(book, tmp_path, without=("milk",))
    only_from_the_cache(monkeypatch)
    assert [asking.ask(book, tmp_path, **one) for one in questions] == plain


# -- what makes an older file a stranger --------------------------------------------------------------------------------------


def a_book(kitchen: Kitchen) -> Path:
    kitchen.write(GOODS + plate("30 g plum jam"))
    return kitchen.folder


def test_one_byte_of_the_book_changes_the_answer(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    first = asking.ask(book, cache, of="plate", about="nuts")
    assert asking.ask(book, cache, of="plate", about="nuts") == first
    file = book / "book.yaml"
    stamp = file.stat()
    text = file.read_text("utf-8")
    # A few letters; the file keeps its size and the moment it was written.
    file.write_text(text.replace('"Plums, sugar"', '"Pecans, suga"'), encoding="utf-8")
    os.utime(file, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert file.stat().st_size == stamp.st_size
    code, said, _ = asking.ask(book, cache, of="plate", about="nuts")
    assert (code, said.startswith("Yes: ")) == (0, True)
    assert "not in the recipe" in first[1]


def test_an_added_a_removed_and_a_renamed_file_are_seen(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    before = asking.ask(book, cache, without=("nuts",))
    more = book / "more.yaml"
    more.write_text("- dish: nut plate\n  plate: [20 g nut paste]\n", encoding="utf-8")
    added = asking.ask(book, cache, without=("nuts",))
    assert "nut plate" in added[1]
    more.rename(book / "more.txt")  # no file of the book any more
    assert asking.ask(book, cache, without=("nuts",)) == before
    (book / "more.txt").rename(book / ".more.yaml")  # hidden files are passed over
    assert asking.ask(book, cache, without=("nuts",)) == before
    (book / "deep").mkdir()
    (book / ".more.yaml").rename(book / "deep" / "other.yml")
    assert asking.ask(book, cache, without=("nuts",)) == added


def test_each_day_and_each_law_has_its_own(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    keys = {
        answer_cache.key_of(read_files(book), law, day)
        for law in (None, "us", "gb")
        for day in (DAY, date(2026, 11, 26))
    }
    assert len(keys) == 6
    asking.ask(book, cache, of="plate", about="nuts", law="us")
    asking.ask(book, cache, of="plate", about="nuts", law="gb")
    asking.ask(book, cache, of="plate", about="nuts", on=date(2027, 1, 1))
    assert len(kept_in(cache)) == 3
    by_gb = asking.ask(book, cache, of="plate", about="nuts", law="gb", json_out=True)
    assert by_gb == asking.ask(book, None, of="plate", about="nuts", law="gb", json_out=True)
    assert len(kept_in(cache)) == 3


def test_reference_data_or_code_written_again_make_older_files_strangers(
    kitchen: Kitchen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = read_files(a_book(kitchen))
    before = answer_cache.key_of(files, None, DAY)
    assert answer_cache.key_of(files, None, DAY) == before
    data = tmp_path / "data"
    (data / "allergens").mkdir(parents=True)
    words = data / "allergens" / "vocabulary.json"
    words.write_text("{}", encoding="utf-8")
    monkeypatch.setattr(answer_cache, "reference_data_folder", lambda: data)
    first = answer_cache.key_of(files, None, DAY)
    os.utime(words, ns=(1, 1))
    second = answer_cache.key_of(files, None, DAY)
    words.write_text("{} ", encoding="utf-8")
    assert len({before, first, second, answer_cache.key_of(files, None, DAY)}) == 4
    monkeypatch.setattr(answer_cache, "__version__", "99")
    monkeypatch.setattr(answer_cache, "today", lambda: date(2030, 1, 1))
    assert answer_cache.key_of(files, None, DAY) not in {before, first, second}


# -- files that are not to be believed -----------------------------------------------------------------------------------------


def test_a_damaged_file_is_thrown_away_silently(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    right = asking.ask(book, cache, of="plate", about="nuts")
    (file,) = kept_in(cache)
    whole = file.read_bytes()
    chance = random.Random(5)  # noqa: S311 - as above
    damaged = [
        b"",
        b"x",
        whole[:20],
        whole[:-1],
        whole + b" ",
        b"labeller facts 1\n" + bytes(60),
        whole[:60] + whole[61:],
    ]
    for _ in range(25):
        at = chance.randrange(len(whole))
        damaged.append(whole[:at] + bytes([whole[at] ^ (1 << chance.randrange(8))]) + whole[at + 1 :])
        damaged.append(whole[: chance.randrange(len(whole))])
    for content in damaged:
        assert answer_cache.sections_of(file.stem, content) is None or content == whole
        file.write_bytes(content)
        assert asking.ask(book, cache, of="plate", about="nuts") == right
        assert file.read_bytes() == whole  # worked out anew, and kept
    file.unlink()
    file.mkdir()  # a folder where a file should lie
    assert asking.ask(book, cache, of="plate", about="nuts") == right


def test_the_file_of_another_book_is_not_believed(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    other = Kitchen(tmp_path / "other").write(GOODS + plate("30 g nut paste"))
    asking.ask(other.folder, cache, of="plate", about="nuts")
    (foreign,) = kept_in(cache)
    key = answer_cache.key_of(read_files(book), None, DAY)
    foreign.rename(cache / f"{key}{answer_cache.ENDING}")
    assert "not in the recipe" in asking.ask(book, cache, of="plate", about="nuts")[1]


def test_a_sound_file_with_other_sections_is_not_believed(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    right = asking.ask(book, cache, of="plate", about="nuts")
    (file,) = kept_in(cache)
    for sections in ({}, {"core": b"[]"}, {"core": b"{"}, {"core": b"{}"}):
        file.write_bytes(answer_cache.as_file(file.stem, sections))
        assert asking.ask(book, cache, of="plate", about="nuts") == right


# -- places that cannot be written ---------------------------------------------------------------------------------------------


def test_without_a_place_to_write_it_works_without_a_cache(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book = a_book(kitchen)
    right = asking.ask(book, None, of="plate", about="nuts")
    file = tmp_path / "no folder"
    file.write_text("", encoding="utf-8")
    assert asking.ask(book, file, of="plate", about="nuts") == right
    assert asking.ask(book, file / "below", of="plate", about="nuts") == right
    assert asking.ask(book, Path("/proc/nowhere"), of="plate", about="nuts") == right
    assert file.read_text("utf-8") == ""


def test_the_file_of_another_person_is_not_believed(
    kitchen: Kitchen, tmp_path: Path, asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    right = asking.ask(book, cache, of="plate", about="nuts")
    assert answer_cache._read(cache, kept_in(cache)[0].stem) is not None
    monkeypatch.setattr(os, "geteuid", lambda: os.getuid() + 1)
    assert answer_cache._read(cache, kept_in(cache)[0].stem) is None
    assert asking.ask(book, cache, of="plate", about="nuts") == right


def test_a_folder_that_is_taken_away_does_not_come_back(kitchen: Kitchen, tmp_path: Path) -> None:
    book, home = a_book(kitchen), tmp_path / "home"
    program = (
        "import shutil, sys\nfrom pathlib import Path\nfrom labeller.cli import answer_cache as cache\n"
        "from labeller.cli.answer import answer\n"
        "keep = cache._keep_all\n"
        "def late():\n    shutil.rmtree(sys.argv[2])\n    keep()\n"
        "cache._keep_all = late\n"
        "answer(Path(sys.argv[1]), None, None, ['nuts'], None, None, None, False)\n"
        "cache.keep_after_the_answer()\n"
    )
    environment = {**os.environ, answer_cache.VARIABLE: str(home / "cache")}
    subprocess.run(
        [sys.executable, "-c", program, str(book), str(home)], env=environment, check=True, capture_output=True
    )
    for _ in range(100):
        if not home.exists():
            break
        time.sleep(0.05)
    time.sleep(0.5)
    assert not home.exists()


def test_a_folder_that_may_only_be_read(
    kitchen: Kitchen, tmp_path: Path, asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*arguments: object) -> int:
        raise PermissionError(13, "Permission denied")

    book, cache = a_book(kitchen), tmp_path / "cache"
    cache.mkdir()
    with monkeypatch.context() as patched:
        patched.setattr(os, "open", refused)  # root may write anywhere; this asks as anybody else
        assert asking.ask(book, cache, of="plate", about="nuts")[0] == 0
    assert list(cache.iterdir()) == []


@pytest.mark.parametrize("word", ["off", "", "no", "0", " OFF "])
def test_it_can_be_turned_off(word: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(answer_cache.VARIABLE, word)
    assert answer_cache.cache_folder() is None


@pytest.mark.parametrize("place", ["", "  ", "/somewhere/caches"])
def test_the_folder_is_where_platformdirs_puts_caches(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import platformdirs

    monkeypatch.delenv(answer_cache.VARIABLE, raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", place)
    assert answer_cache.cache_folder() == platformdirs.user_cache_path("labeller", appauthor=False)


def test_a_faulty_book_is_not_kept(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    kitchen.write(GOODS + plate("30 g plum jamm"))
    cache = tmp_path / "cache"
    for _ in range(2):
        code, said, told = asking.ask(kitchen.folder, cache, of="plate", about="nuts")
        assert (code, said) == (1, "")
        assert "'plum jamm' is not an ingredient or preparation of this book" in told
    assert not cache.exists()


def test_old_files_are_cleared(tmp_path: Path) -> None:
    now = time.time()
    for number in range(answer_cache.KEPT_FILES + 5):
        file = tmp_path / f"{number:03d}{answer_cache.ENDING}"
        file.write_bytes(b"x")
        os.utime(file, (now - number, now - number))
    stale, fresh, other = tmp_path / "a.1.part", tmp_path / "b.2.part", tmp_path / "somebody.else"
    for file in (stale, fresh, other):
        file.write_bytes(b"x")
    os.utime(stale, (now - 2 * answer_cache.ABANDONED_AFTER_S,) * 2)
    answer_cache.clear_old(tmp_path)
    left = sorted(file.name for file in tmp_path.iterdir())
    assert [name for name in left if name.endswith(answer_cache.ENDING)] == [
        f"{number:03d}{answer_cache.ENDING}" for number in range(answer_cache.KEPT_FILES)
    ]
    assert (stale.exists(), fresh.exists(), other.exists()) == (False, True, True)


# -- processes -------------------------------------------------------------------------------------------------------------------


def started(book: Path, cache: Path, *arguments: str) -> subprocess.Popen[str]:
    call = [sys.executable, "-c", PROGRAM, "answer", str(book), "--on", DAY.isoformat(), *arguments]
    environment = {**os.environ, answer_cache.VARIABLE: str(cache)}
    return subprocess.Popen(call, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def wait_for_file(cache: Path) -> None:
    """The cache is filled behind the answer's back."""
    for _ in range(200):
        if kept_in(cache):
            return
        time.sleep(0.05)
    raise AssertionError("nothing was kept")


def test_two_at_once_do_no_harm(kitchen: Kitchen, tmp_path: Path) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    said = {
        one.communicate()[0] for one in [started(book, cache, "--of", "plate", "--about", "nuts") for _ in range(4)]
    }
    assert len(said) == 1
    wait_for_file(cache)
    for _ in range(100):
        if not list(cache.glob(f"*{answer_cache.HALF_WRITTEN}")):
            break
        time.sleep(0.05)
    assert len(kept_in(cache)) == len(list(cache.iterdir())) == 1
    assert started(book, cache, "--of", "plate", "--about", "nuts").communicate()[0] in said


def test_killed_while_writing_leaves_no_harm(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    right = asking.ask(book, None, of="plate", about="nuts")
    # A writer that stops half-way through its bytes, and is killed there.
    program = (
        "import sys, time, datetime\nfrom pathlib import Path\nfrom labeller.cli import answer_cache as cache\n"
        "facts = cache.facts_of_book(Path(sys.argv[1]), None, datetime.date(2026, 11, 25))\n"
        "import os\nplain = os.fdopen\n"
        "def fdopen(*arguments):\n"
        "    file = plain(*arguments)\n    write = file.write\n"
        "    class Half:\n"
        "        def __enter__(self): return self\n"
        "        def __exit__(self, *rest): file.close()\n"
        "        def write(self, content):\n"
        "            write(content[: len(content) // 2]); file.flush(); print('half', flush=True); time.sleep(60)\n"
        "    return Half()\n"
        "os.fdopen = fdopen\n"
        "cache.keep_now()\n"
    )
    environment = {**os.environ, answer_cache.VARIABLE: str(cache)}
    with subprocess.Popen(
        [sys.executable, "-c", program, str(book)], env=environment, stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "half\n"
        writer.send_signal(signal.SIGKILL)
    assert len(list(cache.glob(f"*{answer_cache.HALF_WRITTEN}"))) == 1
    assert kept_in(cache) == []
    assert asking.ask(book, cache, of="plate", about="nuts") == right
    assert len(kept_in(cache)) == 1


def test_killed_at_any_moment_the_next_answer_is_right(kitchen: Kitchen, tmp_path: Path, asking: Asking) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    right = asking.ask(book, None, of="plate", about="nuts")
    chance = random.Random(11)  # noqa: S311 - as above
    for _ in range(5):
        killed = started(book, cache, "--of", "plate", "--about", "nuts")
        time.sleep(chance.uniform(0.02, 0.35))
        killed.send_signal(signal.SIGKILL)
        killed.communicate()
    assert started(book, cache, "--of", "plate", "--about", "nuts").communicate()[0] == right[1]


HEAVY = ("pandas", "pydantic", "reportlab", "requests", "requests_cache", "rich", "typer", "click")


def test_what_an_answer_loads(kitchen: Kitchen, tmp_path: Path) -> None:
    book, cache = a_book(kitchen), tmp_path / "cache"
    program = (
        "import json, os, sys\nfrom labeller.cli import main as place\n"
        "end = os._exit\n"
        "def told(code):\n    sys.stderr.write(json.dumps(sorted(sys.modules))); sys.stderr.flush(); end(code)\n"
        "os._exit = told\nplace.main()\n"
    )

    def loaded(*arguments: str) -> set[str]:
        ran = subprocess.run(
            [sys.executable, "-c", program, "answer", str(book), *arguments],
            env={**os.environ, answer_cache.VARIABLE: str(cache)},
            capture_output=True,
            text=True,
            check=False,
        )
        assert ran.returncode in (0, 3), ran.stderr
        assert ran.stdout
        return {name.partition(".")[0] for name in json.loads(ran.stderr.splitlines()[-1])}

    first = loaded("--of", "plate", "--about", "nuts")
    assert "numpy" in first
    assert not first & set(HEAVY)
    wait_for_file(cache)
    for question in (
        ("--of", "plate", "--about", "nuts"),
        ("--of", "plate", "--about", "alcohol"),
        ("--of", "plate", "--about", "vegan", "--json"),
        ("--of", "plate", "--about", "plum", "--language", "fr"),
        ("--without", "garlic", "--without", "sulphites"),
        ("--of", "plate", "--about", "sugars"),
    ):
        assert not loaded(*question) & {*HEAVY, "numpy", "yaml", "platformdirs"}, question
