import os
import tempfile

os.environ["DJANGO_SETTINGS_MODULE"] = "rillbed.web.settings"
os.environ["RILLBED_DATA"] = tempfile.mkdtemp(prefix="rillbed-test-")

import django
import django.core.management
from django.test.utils import setup_test_environment

django.setup()
setup_test_environment()

django.core.management.call_command("migrate", verbosity=0)
