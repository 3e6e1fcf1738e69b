"""Django needs its settings and a data folder before any page module is imported, doctest collection included."""

import atexit
import os
import shutil
import tempfile

import pytest

_FOLDER = tempfile.mkdtemp(prefix="rillbed-test-")
atexit.register(shutil.rmtree, _FOLDER, ignore_errors=True)
os.environ["DJANGO_SETTINGS_MODULE"] = "rillbed.web.settings"
os.environ["RILLBED_DATA"] = _FOLDER


def pytest_configure(config: pytest.Config) -> None:
    import django
    import django.core.management
    from django.test.utils import setup_test_environment

    django.setup()
    setup_test_environment()
    django.core.management.call_command("migrate", verbosity=0)
