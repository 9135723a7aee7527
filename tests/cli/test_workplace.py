"""The workbook's server: for this machine alone, with its token, in JupyterLab and as pages."""

from __future__ import annotations

import http.cookiejar
import shutil
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import psutil
import pytest

from calc.workplace import lay_out, notebooks_folder, server_command, shipped_notebooks
from tests.browser.serving import Served, serving


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("served")) as served:
        yield served


def asked(served: Served, path: str, **headers: str) -> tuple[int, str]:
    """The answer's code, and where one is led to in the end."""
    try:
        with urllib.request.urlopen(urllib.request.Request(served.url + path, headers=headers), timeout=20) as answer:
            return answer.status, answer.url
    except urllib.error.HTTPError as error:
        return error.code, served.url + path


def test_it_listens_on_this_machine_alone(served: Served) -> None:
    port = urlsplit(served.url).port
    listening = [c.laddr.ip for c in psutil.net_connections("inet") if c.laddr and c.laddr.port == port and not c.raddr]
    assert set(listening) == {"127.0.0.1"}


@pytest.mark.parametrize(
    "path",
    ["lab", "api/contents", "api/kernels", "files/notebooks/00-start-here.ipynb",
     "voila/render/notebooks/00-start-here.ipynb", "nbconvert/html/notebooks/00-start-here.ipynb"],
)  # fmt: skip
def test_without_its_token_it_gives_nothing(served: Served, path: str) -> None:
    for headers in ({}, {"Authorization": "token 0000"}):
        code, led_to = asked(served, path, **headers)
        assert code == 403 or urlsplit(led_to).path == "/login", (code, led_to)


def test_with_its_token_it_answers(served: Served) -> None:
    assert len(served.token) >= 32
    assert asked(served, "api/kernels", Authorization=f"token {served.token}")[0] == 200


def test_a_page_that_is_left_ends_its_kernel(served: Served) -> None:
    """As a browser does on leaving: with the cookies that the page came with, and the one against forgery repeated."""
    kept = http.cookiejar.CookieJar()
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(kept))
    before = served.kernels()
    browser.open(f"{served.url}voila/render/notebooks/40-practice.ipynb?token={served.token}", timeout=120).read()
    started = served.kernels() - before
    assert started
    cookie = next((cookie.value or "" for cookie in kept if cookie.name == "_xsrf"), "")
    for kernel in started:
        sent = urllib.parse.urlencode({"_xsrf": cookie}).encode()
        assert browser.open(f"{served.url}voila/api/shutdown/{kernel}", sent, timeout=30).status == 204
    assert not started & served.kernels()


def test_settings_of_the_machine_turn_no_token_off(tmp_path: Path) -> None:
    with serving(tmp_path, '{"IdentityProvider": {"token": ""}, "ServerApp": {"password": ""}}') as careless:
        assert len(careless.token) >= 32
        assert asked(careless, "api/kernels")[0] == 403
        assert asked(careless, "api/kernels", Authorization=f"token {careless.token}")[0] == 200


def test_it_answers_to_no_other_name(served: Served) -> None:
    """A page elsewhere whose name is made to lead here gets nothing."""
    token = {"Authorization": f"token {served.token}"}
    assert asked(served, "api/kernels", Host="elsewhere.invalid", **token)[0] == 403


@pytest.mark.parametrize("pages", [False, True])
def test_the_command_says_so_whatever_is_opened(tmp_path: Path, pages: bool) -> None:
    command = server_command(tmp_path, browser=False, pages=pages)
    assert "--ServerApp.ip=127.0.0.1" in command
    assert not [part for part in command if "token" in part or "password" in part or "allow_origin" in part]


def test_a_working_folder_gets_notebooks_once_and_a_job_each_time(tmp_path: Path) -> None:
    made = lay_out(tmp_path, "Alder Row 5", "one-family", None)
    assert made == tmp_path / "notebooks" / "jobs" / "alder-row-5.toml"
    shipped = {path.name for path in shipped_notebooks().glob("*.ipynb")}
    assert {path.name for path in (tmp_path / "notebooks").glob("*.ipynb")} == shipped
    changed = tmp_path / "notebooks" / "01-dwelling-load.ipynb"
    changed.write_text("mine")
    lay_out(tmp_path, "Alder Row 6", "one-family", None)
    assert changed.read_text() == "mine"
    assert notebooks_folder(made) == tmp_path / "notebooks"
    assert notebooks_folder(tmp_path.parent / "elsewhere.toml") == shipped_notebooks()


def _given(folder: Path) -> Path:
    """A folder that somebody sent: the shipped notebooks, one of them with code of theirs, and a job."""
    shutil.copytree(shipped_notebooks(), folder / "notebooks", ignore=shutil.ignore_patterns(".*"))
    theirs = folder / "notebooks" / "01-dwelling-load.ipynb"
    theirs.write_text(
        theirs.read_text(encoding="utf-8").replace("from calc", "import theirs\\nfrom calc", 1), encoding="utf-8"
    )
    return folder / "notebooks" / "jobs" / "fernhollow-lot-12.toml"


def test_notebooks_that_somebody_sent_are_not_run(tmp_path: Path) -> None:
    """Neither as they come nor with a mark in them: only a folder that this user made here runs its own notebooks."""
    job = _given(tmp_path / "sent")
    told: list[str] = []
    assert notebooks_folder(job, told.append) == shipped_notebooks()
    assert "has notebooks of its own (01-dwelling-load.ipynb); they are not run" in told[0]
    lay_out(tmp_path / "sent", "Alder Row 5", "one-family", None)  # a job of one's own among them changes nothing
    assert notebooks_folder(job) == shipped_notebooks()
    with pytest.raises(ValueError, match="to open its notebooks is to run"):
        server_command(tmp_path / "sent", browser=False, pages=True)


def test_notebooks_of_a_folder_made_here_run_and_differences_are_told(tmp_path: Path) -> None:
    made = lay_out(tmp_path, "Alder Row 5", "one-family", None)
    told: list[str] = []
    assert notebooks_folder(made, told.append) == tmp_path / "notebooks"
    assert told == []
    (tmp_path / "notebooks" / "01-dwelling-load.ipynb").write_text("mine")
    assert notebooks_folder(made, told.append) == tmp_path / "notebooks"
    assert told == [f"{tmp_path / 'notebooks'}: these notebooks differ from the program's: 01-dwelling-load.ipynb"]
    assert f"--ServerApp.root_dir={tmp_path}" in server_command(tmp_path, browser=False, pages=True)
    (tmp_path / "notebooks" / "02-own.ipynb").write_text("anybody's")
    (tmp_path / "notebooks" / "02-own.ipynb").chmod(0o666)
    assert notebooks_folder(made) == shipped_notebooks(), "anybody may write there"


def test_notebooks_of_the_clone_run_without_a_word() -> None:
    told: list[str] = []
    job = shipped_notebooks() / "jobs" / "fernhollow-lot-12.toml"
    assert notebooks_folder(job, told.append).resolve() == shipped_notebooks().resolve()
    assert told == []
