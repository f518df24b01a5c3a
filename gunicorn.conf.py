"""What gunicorn reads where it is started in this folder."""

from webapp.gunicorn_config import *  # noqa: F403
