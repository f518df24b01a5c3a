"""For servers of many workers: `gunicorn webapp.wsgi:app`."""

from webapp import create_app
from webapp.journal import start_journal

start_journal()
app = create_app()
