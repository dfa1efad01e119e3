"""What runs the steps: over a connection that is given, in its transaction."""

from alembic import context

from eavewell.logbook.store.layout import layout


def _run() -> None:
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=layout,
        transactional_ddl=True,
        transaction_per_migration=False,
    )
    context.run_migrations()


_run()
