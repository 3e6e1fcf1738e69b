"""Behind a proxy, at an address of its own: no link leaves the path, and no cookie goes without https."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from django.test import TestCase

from rillbed.web.options import address, hosts

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    "text", ["example.org", "ftp://example.org", "https://", "https://a@b.org", "https://b.org/?a=1"]
)
def test_what_is_no_address_is_refused_by_its_name(text: str) -> None:
    with pytest.raises(ValueError, match="RILLBED_ADDRESS"):
        address(text)


def test_a_server_answers_to_its_public_name_and_at_home_to_none() -> None:
    found = address("https://garden.example.org:8443/loop")
    assert (found.origin, found.host, found.path) == ("https://garden.example.org:8443", "garden.example.org", "/loop")
    assert "garden.example.org" in hosts(found.host)
    assert address("").path is None
    assert "" not in hosts("")


@pytest.mark.parametrize(("text", "secure"), [("https://garden.example.org/loop", True), ("", False)])
def test_settings_follow_the_address(tmp_path: Path, text: str, secure: bool) -> None:
    ask = (
        "from rillbed.web import settings as s; print(getattr(s, 'SESSION_COOKIE_SECURE', False), "
        "s.FORCE_SCRIPT_NAME, s.SESSION_COOKIE_PATH, s.CSRF_TRUSTED_ORIGINS)"
    )
    env = os.environ | {"RILLBED_DATA": str(tmp_path), "RILLBED_ADDRESS": text}
    said = subprocess.run([sys.executable, "-c", ask], env=env, capture_output=True, text=True, check=True).stdout
    want = "True /loop /loop ['https://garden.example.org']" if secure else "False None / []"
    assert said.strip() == want


# A process of its own: where the pages lie is settled before the first of them is shown.
WALK = """
import json, sys
from wsgiref.util import setup_testing_defaults
from rillbed.web import launch
application = launch.prepare()
from django.contrib.auth.models import User
from django.test import Client
from rillbed.web.frame.pages import doors
person = User.objects.create_user("keeper", password="four plain words here")
client = Client()
client.force_login(person)
cookie = "; ".join(f"{name}={held.value}" for name, held in client.cookies.items())
def page(path):
    environ, said = {}, {}
    setup_testing_defaults(environ)
    environ |= {"PATH_INFO": path, "HTTP_HOST": "garden.example.org", "HTTP_COOKIE": cookie, "REMOTE_ADDR": "127.0.0.1"}
    environ["HTTP_X_FORWARDED_PROTO"] = "https"
    def start(status, headers, error=None):
        said.update(status=status, headers=headers)
    return said | {"body": b"".join(application(environ, start)).decode("utf-8", "replace")} | said
paths = sorted({door.path.removeprefix("/loop") for door in doors("/")})
paths += ["/no/such/page", "/sign-in", "/static/rillbed/rillbed.css", "/sw.js", "/manifest.webmanifest", "/first/x"]
print(json.dumps({path: page(path) for path in paths}))
"""


def test_every_link_form_cookie_and_file_stays_under_the_path(tmp_path: Path) -> None:
    env = os.environ | {"RILLBED_DATA": str(tmp_path), "RILLBED_ADDRESS": "https://garden.example.org/loop"}
    ran = subprocess.run([sys.executable, "-c", WALK], env=env, capture_output=True, text=True, check=True)
    told = json.loads(ran.stdout.splitlines()[-1])
    assert len(told) > 20
    for path, page in told.items():
        assert page["status"][:3] in ("200", "302", "404", "410"), (path, page["status"])
        links = re.findall(r'(?:href|src|action|formaction)="(/[^"]*)"', page["body"])
        assert [one for one in links if not one.startswith("/loop/")] == [], path
        for name, value in page["headers"]:
            assert name != "Location" or value.startswith("/loop/"), (path, value)
            if name == "Set-Cookie":
                assert "Path=/loop" in value, path
                assert "Secure" in value, path
    assert told["/static/rillbed/rillbed.css"]["status"].startswith("200")
    assert '"/loop/static/' in told["/sw.js"]["body"]
    assert json.loads(told["/manifest.webmanifest"]["body"])["start_url"] == "/loop/"


class Container(TestCase):
    def test_it_runs_as_nobody_in_particular_and_says_how_it_is(self) -> None:
        text = (ROOT / "container" / "Dockerfile").read_text()
        assert re.search(r"^USER rillbed$", text, re.M)
        assert re.search(r"^HEALTHCHECK ", text, re.M)
        assert "--require-hashes" in text
        assert "slim" in text

    def test_what_it_copies_and_runs_is_there(self) -> None:
        text = (ROOT / "container" / "Dockerfile").read_text()
        for names in re.findall(r"^COPY (?!--from)(.*) \S+$", text, re.M):
            for name in names.split():
                assert (ROOT / name).exists(), name

    def test_the_example_waits_for_the_database_and_gives_no_pass_phrase_away(self) -> None:
        told = yaml.safe_load((ROOT / "container" / "compose.yaml").read_text())
        pages, worker = told["services"]["pages"], told["services"]["worker"]
        assert pages["depends_on"]["database"]["condition"] == "service_healthy"
        assert "--no-worker" in pages["command"]
        assert worker["command"] == ["rillbed", "work"]
        assert pages["ports"] == ["127.0.0.1:8000:8000"]  # reached through a proxy only
        assert "${POSTGRES_PASSWORD" in told["services"]["database"]["environment"]["POSTGRES_PASSWORD"]
        for service in (pages, worker):
            assert service["environment"]["RILLBED_DATABASE_URL"].startswith("postgres://")
