"""For servers of many workers: `gunicorn webapp.wsgi:app`."""

import gc

from webapp import create_app
from webapp.api.erasing import erase_at_start
from webapp.db.wall import warn_of_open_wall
from webapp.journal import start_journal

start_journal()
app = create_app()
erase_at_start(app)
warn_of_open_wall(app)
# What start-up has made stays for good: no later collection need walk through it.
gc.collect()
gc.freeze()
