"""What an upgrade makes of data that are there already."""

from django.contrib.auth.models import User
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.test import TransactionTestCase

from rillbed.web.frame.loops import loops_of


class Upgrade(TransactionTestCase):
    def to(self, name: str):
        executor = MigrationExecutor(connection)
        executor.migrate([("log", name)])
        return executor.loader.project_state([("log", name)]).apps

    def tearDown(self) -> None:
        executor = MigrationExecutor(connection)  # every app: what depends on the log went back with it
        executor.migrate(executor.loader.graph.leaf_nodes())

    def test_whoever_had_an_account_keeps_every_loop_there_was(self) -> None:
        people = [User.objects.create_user(name) for name in ("you", "helper")]
        old = self.to("0003_append_only").get_model("log", "Loop")
        for name in ("First loop", "Second loop"):
            old.objects.create(name=name)
        self.to("0004_keeper")
        self.tearDown()
        for person in people:
            assert [(loop.name, loop.role) for loop in loops_of(person)] == [
                ("First loop", "owner"),
                ("Second loop", "owner"),
            ]
        assert not loops_of(User.objects.create_user("later")).exists()
