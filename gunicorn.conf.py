"""The configuration that gunicorn reads when it is started in this folder."""

from webapp.gunicorn_config import *  # noqa: F403
