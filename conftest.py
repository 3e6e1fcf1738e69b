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
os.environ.pop("RILLBED_DATABASE_URL", None)  # never the data of whoever runs the tests


def pytest_configure(config: pytest.Config) -> None:
    from tests import postgres

    if postgres.ASKED:
        if postgres.programs() is None:
            pytest.exit(f"skipped: {postgres.WHY_NOT}", returncode=int(postgres.MUST))
        os.environ["RILLBED_DATABASE_URL"] = postgres.new_database()
    import django
    import django.core.management
    from django.test.utils import setup_test_environment

    django.setup()
    setup_test_environment()
    django.core.management.call_command("migrate", verbosity=0)
