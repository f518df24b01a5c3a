"""Settings for `gunicorn webapp.wsgi:app --config python:webapp.gunicorn_config`.

Options on the command line (`--workers`, `--threads`, `--bind`) override them.
"""

worker_class = "webapp.server.worker.BoundedWorker"
bind = "127.0.0.1:8000"
workers = 4
threads = 4
loglevel = "warning"
control_socket_disable = True
# Slightly more than STOP_S of `webapp.config`, in which a worker finishes its responses.
graceful_timeout = 20
